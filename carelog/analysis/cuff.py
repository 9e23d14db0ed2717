"""Whether the cuff is up, as far as the entries say."""

from collections.abc import Sequence
from typing import NamedTuple

from carelog.analysis.in_force import Held, Reading, order_of
from carelog.analysis.tube import has_air_cuff, is_decannulated, tube_events, tube_in_place
from carelog.domain.entry import Entry
from carelog.domain.moment import Instant
from carelog.domain.units import comparable

LEFT_UP = 5
"""cmH2O: a cuff left at this or more counts as up (common practice, no source)."""


def cuff_says(entry: Entry) -> bool | None:
    """What an entry says of the cuff: up (True), down (False), or nothing (None)."""
    details = entry.details
    if entry.kind == "cuff_state":
        return bool(details["state"] == "up")
    if entry.kind == "valve":
        return not details["cuff_down"] if "cuff_down" in details else None
    if entry.kind == "cuff_pressure":
        left = details.get("value_after", details["value"])
        if comparable(left, details["unit"], "cmH2O") >= LEFT_UP:
            return True
        return False if details.get("value_after", 1) <= 0 else None
    return None


SAYS = ("cuff_state", "valve", "cuff_pressure")
"""The kinds that may say whether the cuff is up."""
TUBE = ("tube_change", "decannulation")
"""After these nothing that was said of the cuff before counts."""


class CuffEvent(NamedTuple):
    """A tube that was placed or taken out, or what says of the cuff that it is up or down.

    `says` is what it says itself, None for a tube; `is_air` and `is_up` how the cuff stands after it: one
    that holds air, and counts as up.
    """

    held: Held
    says: bool | None
    is_air: bool
    is_up: bool


def cuff_events(reading: Reading) -> Sequence[CuffEvent]:
    """What bears on the cuff, in reading order."""
    return reading.once(_events)


def _events(reading: Reading) -> list[CuffEvent]:
    says = ((held, cuff_says(held.entry)) for kind in SAYS for held in reading.of(kind))
    tubes = ((held, None) for held in tube_events(reading))
    bearing = [*tubes, *(each for each in says if each[1] is not None)]
    found, is_air, is_up = list[CuffEvent](), True, True
    for held, said in sorted(bearing, key=lambda each: order_of(each[0])):
        if said is None:
            is_air, is_up = held.entry.kind == "tube_change" and has_air_cuff(held), True
        else:
            is_up = said
        found.append(CuffEvent(held, said, is_air, is_up))
    return found


def active_cuff(reading: Reading) -> list[tuple[Instant, bool]]:
    """The moments at which an air cuff went up, or came down or away: (when, is up); up before the first."""
    found: list[tuple[Instant, bool]] = []
    for event in cuff_events(reading):
        is_up = event.is_air and event.is_up
        if is_up != (found[-1][1] if found else True):
            found.append((event.held.time, is_up))
    return found


def is_known_up(reading: Reading, at: Instant | None = None) -> bool | None:
    """What was said last of the cuff since the tube in place was placed: up, down, or nothing (None)."""
    said: bool | None = None
    for event in cuff_events(reading):
        if at is None or event.held.time <= at:
            said = event.says
    return said


def cuff_is_up(reading: Reading, at: Instant | None = None) -> bool:
    """Whether the cuff counts as up: it does where nothing was said since the tube was placed.

    A tube without a cuff has none up, and no tube after a decannulation either.
    """
    tube = tube_in_place(reading, at)
    if tube is not None and tube.entry.details["cuff"] == "none":
        return False
    return not is_decannulated(reading, at) and is_known_up(reading, at) is not False


def put_up(reading: Reading, at: Instant | None = None) -> Instant | None:
    """When an air cuff was last put up: it was down just before, or the tube before had no air cuff."""
    ups = [time for time, is_up in active_cuff(reading) if is_up and (at is None or time <= at)]
    return ups[-1] if ups else None
