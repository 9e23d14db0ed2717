"""Rules about the equipment: each machine by its device and name, and whether any suction works."""

from collections.abc import Collection, Iterator, Sequence
from datetime import date

from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.flags.life import NEVER, Cause
from carelog.analysis.flags.naming import named
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.machines import SUCTION_DEVICES, Device, Machine, devices, machine_of, machine_words
from carelog.analysis.rules.evidence import evidence
from carelog.analysis.rules.rule import PRACTICE, Rule, Said, Source, Status
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Row, Standing
from carelog.analysis.rules.tube import start_of
from carelog.analysis.times import full_day
from carelog.domain.entry import Details
from carelog.domain.flag import Level, Matter
from carelog.domain.moment import Instant
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.text import mark, say

MACHINE = ("device", "name")
EQUIPMENT = Rule(
    name="equipment",
    title=mark("Equipment"),
    subject=mark("the device, with its name where it has one; or suction"),
    raised=mark(
        "By its newest check a device doesn't work, or its canister is full. Or its next service has "
        "passed, or it was found not charged. Or, of the suction devices that were checked and not given "
        "back, none works. Not once it was given back."
    ),
    level=mark("call; note for the service and the charge; urgent where no suction works"),
    clears=mark("The entry that mends it; suction: one that works."),
    sources=(Source(mark("SickKids family pages"), Status.FOUND), PRACTICE),
    falls=True,
    matter=Matter.KIT,
    stands=(
        Said(EQUIPMENT_CHECK.name, each=MACHINE),
        *(Said(EQUIPMENT_CHECK.name, name, each=MACHINE) for name in ("canister", "next_service", "charged")),
        Said(EQUIPMENT_CHECK.name, "given_back", (True,), MACHINE),
    ),
)
SUCTION = "suction"
_BROKEN = mark("{device}: doesn't work.")
_FULL = mark("{device}: the canister is full.")
_SERVICE = mark("{device}: service was due on {day}.")
_NOT_CHARGED = mark("{device}: not charged.")
_NO_SUCTION = mark("No suction device works.")
_BY_CHECK = mark("By the check at {time}.")
_CHECK = mark("checked {time}")


class EquipmentTracker(Standing):
    """Every machine that was checked."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("equipment_check",))
        self._devices: dict[Machine, Device] = {}

    def take(self, shift: Shift, now: Instant) -> bool:
        for held in (shift.before, shift.after):
            if held is not None:
                self._read(held, is_new=shift.before is None)
        return True

    def _read(self, held: Held, is_new: bool) -> None:
        machine = machine_of(held.entry.details)
        device = self._devices.setdefault(machine, Device())
        if is_new and (device.newest is None or order_of(held) > order_of(device.newest)):
            device.take(held)
            return
        checks = self.ledger.shelf("equipment_check").held
        of_machine = (each for each in checks if machine_of(each.entry.details) == machine)
        self._devices[machine] = devices(of_machine).get(machine, Device())

    def _service_moment(self, device: Device) -> Instant:
        if device.service is None:
            return NEVER
        day = date.fromisoformat(device.service.entry.details["next_service"])
        return start_of(self.ledger.home, day, 1)

    def wake(self, now: Instant) -> Instant:
        moments = (self._service_moment(device) for device in self._devices.values())
        return min((moment for moment in moments if moment > now), default=NEVER)

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        signs = [sign for name, device in self._devices.items() for sign in self._shows(name, device, now)]
        return [*signs, *self._suction()]

    def _shows(self, machine: Machine, device: Device, now: Instant) -> Iterator[Sign]:
        if device.check is not None and device.check.entry.details["works"] is False:
            yield self._sign(machine, device.check, Level.CALL, _BROKEN)
        if device.is_full and device.canister is not None:
            yield self._sign(machine, device.canister, Level.CALL, _FULL)
        if self._service_moment(device) <= now and device.service is not None:
            yield self._sign(machine, device.service, Level.NOTE, _SERVICE)
        if device.charge is not None and device.charge.entry.details["charged"] is False:
            yield self._sign(machine, device.charge, Level.NOTE, _NOT_CHARGED)

    def _sign(self, machine: Machine, held: Held, level: Level, words: str) -> Sign:
        headline = say(words).format(device=machine_words(machine), day=_service_day(held.entry.details))
        return self._by_check(held, level, headline, ":".join(each for each in machine if each))

    def _suction(self) -> Iterator[Sign]:
        checked = [
            device
            for (name, _), device in self._devices.items()
            if name in SUCTION_DEVICES and device.check is not None
        ]
        if any(device.works for device in checked):
            return
        for device in checked:
            held = device.canister if device.is_full else device.check
            if held is not None:
                yield self._by_check(held, Level.URGENT, say(_NO_SUCTION), SUCTION)

    def _by_check(self, held: Held, level: Level, headline: str, subject: str) -> Sign:
        why = say(_BY_CHECK).format(time=named(held.time))
        return evidence(self.rule, self.ledger, held, level, headline, subject=subject, why=why)

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        newest = self.ledger.shelf("equipment_check").newest()
        if newest is None or not self.ledger.just_known(newest):
            return ""
        return say(_CHECK).format(time=named(newest.time))


def _service_day(details: Details) -> str:
    text = details.get("next_service")
    return full_day(date.fromisoformat(text)) if text is not None else ""


ROWS: tuple[Row, ...] = ((EQUIPMENT, EquipmentTracker),)
