"""A power cut: since when, which machines run on battery until about when, what else there is, whom to ring.

Until when is reckoned from the beginning of the cut, as if a machine had run ever since: whoever switches it
off between two suctions has longer.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from carelog.analysis.battery import Lasting, lasting, runs, whole
from carelog.analysis.in_force import Held, Reading
from carelog.analysis.machines import Device, Machine, machines
from carelog.analysis.people import contacts, person
from carelog.domain.moment import DAY_24_H, MINUTE, Instant

LONGEST = 3 * DAY_24_H
"""A cut that began earlier and has no end is one whose end nobody wrote down (our own choice)."""
VITAL = ("electricity_priority", "ambulance")
RING = ("power", "emergency", "night", "team", "family")
"""Whom one rings in a power cut, in this order."""
RING_VENTILATED = ("emergency", *(each for each in RING if each != "emergency"))


@dataclass(frozen=True, slots=True)
class OnBattery:
    """A machine in a power cut: how long it ran, and until when that is; None: no run was written down.

    `is_broken`: it doesn't count as working by its newest check; `is_not_charged`: it was found so last.
    """

    machine: Machine
    lasts: Lasting | None
    until: Instant | None
    is_broken: bool
    is_not_charged: bool


@dataclass(frozen=True, slots=True)
class Power:
    """What is known for a power cut, or of the one that is."""

    cuts: tuple[Held, ...]
    """The cuts that haven't ended, oldest first."""
    machines: tuple[OnBattery, ...]
    lines: tuple[str, ...]
    """The household's own list for a power cut."""
    contacts: tuple[Held, ...]
    """Whom to ring, first the first."""
    registrations: tuple[tuple[str, Held | None], ...]
    """The lists that matter when the power is off; None: not recorded."""

    @property
    def since(self) -> Instant | None:
        """When the power went off; None: no cut is recorded that hasn't ended."""
        return self.cuts[0].time if self.cuts else None


def open_cuts(reading: Reading, now: Instant) -> list[Held]:
    """The power cuts that haven't ended, oldest first; not those of more than three days ago."""
    incidents = reading.of("incident")
    ended = {
        target.first.id
        for held in incidents
        if "ends" in held.entry.details
        and (target := reading.get(held.entry.details["ends"].lower())) is not None
    }
    return [
        held
        for held in incidents
        if held.entry.details["what"] == "power_cut"
        and "ends" not in held.entry.details
        and held.first.id not in ended
        and 0 <= now - held.time <= LONGEST
    ]


def on_battery(of: Sequence[tuple[Machine, Device]], now: Instant, since: Instant | None) -> list[OnBattery]:
    """The machines that are here, what ran longest first; then those of which no run is known.

    `since`: when the power went off; None: it is on, and `until` isn't known.
    """
    found = []
    for machine, device in of:
        lasts = lasting(runs(device.runs), now)
        charge = device.charge
        until = None if lasts is None or since is None else since + whole(lasts.cautious) * MINUTE
        is_empty = charge is not None and charge.entry.details["charged"] is False
        found.append(OnBattery(machine, lasts, until, not device.works, is_empty))
    return sorted(found, key=lambda each: -1 if each.lasts is None else each.lasts.cautious, reverse=True)


def power(reading: Reading, now: Instant) -> Power:
    """What is known at a moment."""
    cuts = open_cuts(reading, now)
    lists = [held.entry.details["items"] for held in reading.of("checklist") if _is_for_cut(held)]
    newest = {held.entry.details["what"]: held for held in reading.of("registration")}
    return Power(
        tuple(cuts),
        tuple(on_battery(machines(reading), now, cuts[0].time if cuts else None)),
        tuple(lists[-1]) if lists else (),
        tuple(whom_to_ring(reading)),
        tuple((what, newest.get(what)) for what in VITAL),
    )


def _is_for_cut(held: Held) -> bool:
    return bool(held.entry.details["list"] == "power_cut")


def whom_to_ring(reading: Reading) -> list[Held]:
    """The contacts for a power cut in their order; with a ventilator always, the emergency contact first."""
    always = person(reading)["helped_by"] == "ventilator_always"
    order = RING_VENTILATED if always else RING
    found = [held for held in contacts(reading) if held.entry.details.get("for") in order]
    return sorted(found, key=lambda held: order.index(held.entry.details["for"]))


def renew_by(held: Held) -> date | None:
    """By when a registration is to be renewed; None: nobody said."""
    text = held.entry.details.get("renew_by")
    return date.fromisoformat(text) if text is not None else None
