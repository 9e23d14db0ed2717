"""Rules about the kit: the spare-tube box, what expires, the equipment."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from carelog.analysis.box import EXPIRING_DAYS, SPARES, Box, box, expiries, last_day
from carelog.analysis.flags.ledger import Ledger, Shift, key_of
from carelog.analysis.flags.life import NEVER, Cause
from carelog.analysis.in_force import Held
from carelog.analysis.rules.evidence import evidence
from carelog.analysis.rules.readings import is_adult
from carelog.analysis.rules.rule import PRACTICE, Rule, Source, Status
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Row, Standing, newest_before
from carelog.analysis.rules.tube import start_of
from carelog.analysis.times import full_day, near
from carelog.domain.entry import Details
from carelog.domain.flag import Level
from carelog.domain.moment import Home, Instant
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.words import ITEM
from carelog.text import mark, say

_FAMILY_PAGES = Source(mark("SickKids family pages"), Status.FOUND)

BOX = Rule(
    name="box_incomplete",
    title=mark("Spare-tube box"),
    raised=mark(
        "By the newest check something in the box is missing, opened or of the wrong size, or a spare "
        "tube has expired. Or nobody checked the box since the tube in place was placed."
    ),
    level=mark("note; call when a spare tube is missing, expired or of the wrong size"),
    clears=mark("The entry that mends it."),
    sources=(
        _FAMILY_PAGES,
        Source(mark("St George's emergency equipment"), Status.FOUND),
        Source(mark("Amin et al., Pediatr Pulmonol 2017;52:1605–1609: home kits lacked items"), Status.FOUND),
    ),
    falls=True,
)
_LACKS = mark("Spare-tube box: {what}.")
_UNCHECKED = mark("Spare-tube box: not checked since the tube in place was placed.")
_PARTS = (
    ("missing", mark("missing: {items}")),
    ("wrong_size", mark("wrong size: {items}")),
    ("expired", mark("expired: {items}")),
    ("opened", mark("opened: {items}")),
)
_CHECKED = mark("Last checked {time}.")
_NOT_CHECKED = mark("No check recorded.")
_CHECK = mark("checked {time}")


def box_level(found: Box, is_unchecked: bool) -> Level | None:
    """How serious the state of the box is; None where nothing is to be said."""
    spares = {*found.missing, *found.wrong_size, *found.expired} & set(SPARES)
    if spares:
        return Level.CALL
    lacks = found.missing or found.wrong_size or found.opened
    return Level.NOTE if lacks or is_unchecked else None


class BoxTracker(Standing):
    """The box by its newest check, the tube in place and the plan."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("box_check", "tube_change", "plan", "person"))

    def needs(self, cut: Instant) -> Iterator[str]:
        yield from newest_before(self.ledger.shelf("box_check"), cut)

    def wake(self, now: Instant) -> Instant:
        check = self.ledger.shelf("box_check").newest()
        dates = expiries(check.entry.details) if check is not None else {}
        home = self.ledger.home
        moments = [start_of(home, day, 1) for item, day in dates.items() if item in SPARES]
        return min((each for each in (*moments, self.ledger.next_plan(now)) if each > now), default=NEVER)

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        ledger = self.ledger
        check, tube = ledger.shelf("box_check").newest(), ledger.tubes.newest()
        is_unchecked = tube is not None and (check is None or check.time < tube.time)
        found = Box(complete=False)
        if check is not None:
            today = ledger.day(now)
            found = box(check, tube, ledger.plan_at(now), today, is_adult(ledger, today))
        level = box_level(found, is_unchecked)
        if level is None:
            return []
        what = _lacking(found)
        sayers = [held for held, says in ((check, bool(what)), (tube, is_unchecked)) if held and says]
        why = say(_NOT_CHECKED)
        if check is not None:
            why = say(_CHECKED).format(time=near(ledger.home, check.time, now))
        return [
            Sign(
                key="box",
                subject=None,
                level=level,
                entries=tuple(held.entry.id for held in sayers),
                known=now,
                time=now,
                headline=say(_LACKS).format(what=what) if what else say(_UNCHECKED),
                why=f"{say(_UNCHECKED)} {why}" if what and is_unchecked else why,
            )
        ]

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        check = self.ledger.shelf("box_check").newest()
        if check is None or not self.ledger.just_known(check):
            return ""
        return say(_CHECK).format(time=near(self.ledger.home, check.time, check.known))


def _lacking(found: Box) -> str:
    """What isn't right in the box, in words; of what has expired the spare tubes only."""
    parts = []
    for name, words in _PARTS:
        items = [item for item in getattr(found, name) if name != "expired" or item in SPARES]
        if items:
            parts.append(say(words).format(items=", ".join(ITEM.words(item) for item in items)))
    return "; ".join(parts)


EXPIRY = Rule(
    name="expiry",
    title=mark("Expiry"),
    subject=mark("the item"),
    raised=mark(
        "Something in the box or the stock expires within 30 days, or has expired. The newest date "
        "written for it counts. If box and stock both have one, the earlier counts. Stock counted as 0 is "
        "left out."
    ),
    level=mark("note; call from the day after"),
    clears=mark("The entry that mends it."),
    sources=(_FAMILY_PAGES, PRACTICE),
    falls=True,
)
_EXPIRES = mark("{item}: expires on {day}.")
_EXPIRED = mark("{item}: expired on {day}.")
_BY_BOX = mark("By the box check of {time}.")
_BY_STOCK = mark("By the stock entry of {time}.")
_MENDED = mark("a newer entry {time}")


class ExpiryTracker(Standing):
    """The date of each item, from the box and from the stock."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("box_check", "stock"))
        self._stock: dict[str, tuple[date, Held]] = {}
        self._box: dict[str, tuple[date, Held]] = {}

    def take(self, shift: Shift, now: Instant) -> bool:
        if shift.kind == "stock":
            for held in (shift.before, shift.after):
                if held is not None:
                    self._read_stock(held.entry.details["item"])
            return True
        check = self.ledger.shelf("box_check").newest()
        dates = expiries(check.entry.details) if check is not None else {}
        self._box = {item: (day, check) for item, day in dates.items() if check is not None}
        return True

    def _read_stock(self, item: str) -> None:
        """The newest date of an item in stock; none once it was counted 0."""
        self._stock.pop(item, None)
        for held in self.ledger.items[item].backward():
            details = held.entry.details
            if _says_date(details):
                if details.get("count") != 0:
                    self._stock[item] = last_day(details["expiry"]), held
                return

    def needs(self, cut: Instant) -> Iterator[str]:
        yield from newest_before(self.ledger.shelf("box_check"), cut)
        for shelf in self.ledger.items.values():
            yield from newest_before(shelf, cut, _says_date)

    def _dates(self) -> Iterator[tuple[str, date, Held]]:
        for item in sorted({*self._box, *self._stock}):
            found = [each[item] for each in (self._box, self._stock) if item in each]
            day, held = min(found, key=lambda dated: dated[0])
            yield item, day, held

    def wake(self, now: Instant) -> Instant:
        home = self.ledger.home
        steps = (step for _, day, _ in self._dates() for step in _steps(home, day))
        return min((step for step in steps if step > now), default=NEVER)

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        return [
            self._sign(item, day, held, now)
            for item, day, held in self._dates()
            if _steps(self.ledger.home, day)[0] <= now
        ]

    def _sign(self, item: str, day: date, held: Held, now: Instant) -> Sign:
        home = self.ledger.home
        is_over = _steps(home, day)[1] <= now
        by = _BY_BOX if held.entry.kind == "box_check" else _BY_STOCK
        return Sign(
            key=item,
            subject=item,
            level=Level.CALL if is_over else Level.NOTE,
            entries=(held.entry.id,),
            known=now,
            time=now,
            headline=say(_EXPIRED if is_over else _EXPIRES).format(item=ITEM.words(item), day=full_day(day)),
            why=say(by).format(time=near(home, held.time, now)),
        )

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        newest = [self.ledger.shelf(kind).newest() for kind in self.kinds]
        new = [held for held in newest if held is not None and self.ledger.just_known(held)]
        return say(_MENDED).format(time=near(self.ledger.home, new[0].time, new[0].known)) if new else ""


def _says_date(details: Details) -> bool:
    """Stock that was counted 0, or that gives a date."""
    return details.get("count") == 0 or "expiry" in details


def _steps(home: Home, day: date) -> tuple[Instant, Instant]:
    """From when an item's last good day is a note, and from when a call."""
    return start_of(home, day, -EXPIRING_DAYS), start_of(home, day, 1)


EQUIPMENT = Rule(
    name="equipment",
    title=mark("Equipment"),
    subject=mark("the device; or suction"),
    raised=mark(
        "By its newest check a device doesn't work, or its canister is full. Or its next service has "
        "passed. Or, of the suction devices that were checked and not given back, none works. Not once it "
        "was given back."
    ),
    level=mark("call; note for the service; urgent where no suction works"),
    clears=mark("The entry that mends it; suction: one that works."),
    sources=(_FAMILY_PAGES, PRACTICE),
    falls=True,
)
SUCTION = "suction"
SUCTION_DEVICES = ("suction_machine", "suction_backup")
_BROKEN = mark("{device}: doesn't work.")
_FULL = mark("{device}: the canister is full.")
_SERVICE = mark("{device}: service was due on {day}.")
_NO_SUCTION = mark("No suction device works.")
_BY_CHECK = mark("By the check at {time}.")


@dataclass(slots=True)
class Device:
    """What the checks since it was last given back say of a device: newest check, canister, service."""

    check: Held | None = None
    canister: Held | None = None
    service: Held | None = None
    newest: Held | None = None

    def take(self, held: Held) -> None:
        """Take in the next check in order."""
        self.newest = held
        details = held.entry.details
        if details.get("given_back") is True:
            self.check = self.canister = self.service = None
            return
        self.check = held
        self.canister = held if "canister" in details else self.canister
        self.service = held if "next_service" in details else self.service

    @property
    def is_full(self) -> bool:
        """Whether its canister is full."""
        return self.canister is not None and self.canister.entry.details["canister"] == "full"

    @property
    def works(self) -> bool:
        """Whether it works, by its newest check; with a full canister it doesn't count as working."""
        return self.check is not None and self.check.entry.details["works"] is True and not self.is_full


class EquipmentTracker(Standing):
    """Every device that was checked."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("equipment_check",))
        self._devices: dict[str, Device] = {}

    def take(self, shift: Shift, now: Instant) -> bool:
        for held in (shift.before, shift.after):
            if held is not None:
                self._read(held, is_new=shift.before is None)
        return True

    def _read(self, held: Held, is_new: bool) -> None:
        name = held.entry.details["device"]
        device = self._devices.setdefault(name, Device())
        if is_new and (device.newest is None or key_of(held) > key_of(device.newest)):
            device.take(held)
            return
        self._devices[name] = device = Device()
        for each in self.ledger.shelf("equipment_check").held:
            if each.entry.details["device"] == name:
                device.take(each)

    def needs(self, cut: Instant) -> Iterator[str]:
        """Of each device what its checks before the cut still say."""
        devices: dict[str, Device] = {}
        for held in self.ledger.shelf("equipment_check").between(-NEVER, cut - 1):
            devices.setdefault(held.entry.details["device"], Device()).take(held)
        for device in devices.values():
            for said in (device.newest, device.check, device.canister, device.service):
                if said is not None:
                    yield said.first.id

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

    def _shows(self, name: str, device: Device, now: Instant) -> Iterator[Sign]:
        if device.check is not None and device.check.entry.details["works"] is False:
            yield self._sign(name, device.check, Level.CALL, _BROKEN)
        if device.is_full and device.canister is not None:
            yield self._sign(name, device.canister, Level.CALL, _FULL)
        if self._service_moment(device) <= now and device.service is not None:
            yield self._sign(name, device.service, Level.NOTE, _SERVICE)

    def _sign(self, name: str, held: Held, level: Level, words: str) -> Sign:
        headline = say(words).format(device=_device_words(name), day=_service_day(held.entry.details))
        return _by_check(self.rule, self.ledger, held, level, headline, name)

    def _suction(self) -> Iterator[Sign]:
        checked = {
            name: device
            for name in SUCTION_DEVICES
            if (device := self._devices.get(name)) is not None and device.check is not None
        }
        if not checked or any(device.works for device in checked.values()):
            return
        for device in checked.values():
            held = device.canister if device.is_full else device.check
            if held is not None:
                yield _by_check(self.rule, self.ledger, held, Level.URGENT, say(_NO_SUCTION), SUCTION)

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        newest = self.ledger.shelf("equipment_check").newest()
        if newest is None or not self.ledger.just_known(newest):
            return ""
        return say(_CHECK).format(time=near(self.ledger.home, newest.time, newest.known))


def _by_check(rule: Rule, ledger: Ledger, held: Held, level: Level, headline: str, subject: str) -> Sign:
    why = say(_BY_CHECK).format(time=near(ledger.home, held.time, held.known))
    return evidence(rule, ledger, held, level, headline, subject=subject, why=why)


def _device_words(name: str) -> str:
    field = EQUIPMENT_CHECK.field("device")
    words = field.type.words(name) if field is not None else name
    return words[:1].upper() + words[1:]


def _service_day(details: Mapping[str, str] | Details) -> str:
    text = details.get("next_service")
    return full_day(date.fromisoformat(text)) if text is not None else ""


ROWS: tuple[Row, ...] = ((BOX, BoxTracker), (EXPIRY, ExpiryTracker), (EQUIPMENT, EquipmentTracker))
