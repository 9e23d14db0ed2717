"""Rules about the kit: the spare-tube box, what expires, the equipment."""

from collections.abc import Collection, Iterator, Sequence
from datetime import date

from carelog.analysis.box import EXPIRING_DAYS, SPARES, Box, box, expiries, last_day
from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.flags.life import NEVER, Cause
from carelog.analysis.flags.naming import named
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.rules.evidence import timed
from carelog.analysis.rules.readings import is_adult
from carelog.analysis.rules.rule import PRACTICE, Rule, Source, Status
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import OUT, TAKEN_OUT, Row, Standing
from carelog.analysis.rules.tube import start_of
from carelog.analysis.times import full_day
from carelog.domain.entry import Details
from carelog.domain.flag import Level, Matter
from carelog.domain.moment import Home, Instant
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
    clears=mark("The entry that mends it. The tube taken out for good."),
    sources=(
        _FAMILY_PAGES,
        Source(mark("St George's emergency equipment"), Status.FOUND),
        Source(mark("Amin et al., Pediatr Pulmonol 2017;52:1605–1609: home kits lacked items"), Status.FOUND),
    ),
    falls=True,
    with_tube=True,
    matter=Matter.KIT,
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
        super().__init__(rule, ledger, ("box_check", "tube_change", OUT, "plan", "person"))

    def wake(self, now: Instant) -> Instant:
        check = newest_check(self.ledger)
        dates = expiries(check.entry.details) if check is not None else {}
        home = self.ledger.home
        moments = [start_of(home, day, 1) for item, day in dates.items() if item in SPARES]
        return min((each for each in (*moments, self.ledger.next_plan(now)) if each > now), default=NEVER)

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        ledger = self.ledger
        if ledger.is_out():
            return []
        check, tube = newest_check(ledger), ledger.tubes.newest()
        is_unchecked = tube is not None and (check is None or order_of(check) < order_of(tube))
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
            why = say(_CHECKED).format(time=named(check.time))
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
        out, check = self.ledger.shelf(OUT).newest(), self.ledger.shelf("box_check").newest()
        if out is not None and self.ledger.just_known(out):
            return timed(TAKEN_OUT, self.ledger, out)
        if check is None or not self.ledger.just_known(check):
            return ""
        return say(_CHECK).format(time=named(check.time))


def newest_check(ledger: Ledger) -> Held | None:
    """The newest check of the box, unless the tube it was for was taken out for good since."""
    check, out = ledger.shelf("box_check").newest(), ledger.shelf(OUT).newest()
    return None if check is not None and out is not None and order_of(check) < order_of(out) else check


def _lacking(found: Box) -> str:
    """What isn't right in the box, in words; of what has expired the spare tubes only."""
    parts = []
    for name, words in _PARTS:
        items = [item for item in getattr(found, name) if name != "expired" or item in SPARES]
        if items:
            parts.append(say(words).format(items=", ".join(ITEM.words(item) for item in items)))
    return "; ".join(parts)


TUBE = "tube"
EXPIRY = Rule(
    name="expiry",
    title=mark("Expiry"),
    subject=mark("the item"),
    raised=mark(
        "Something in the box or the stock, or the tube in place, expires within 30 days, or has expired. "
        "The newest date written for it counts. If box and stock both have one, the earlier counts. Stock "
        "counted as 0 is left out."
    ),
    level=mark("note; call from the day after"),
    clears=mark("The entry that mends it. Of tube and box: the tube taken out for good."),
    sources=(_FAMILY_PAGES, PRACTICE),
    falls=True,
    matter=Matter.KIT,
)
_EXPIRES = mark("{item}: expires on {day}.")
_EXPIRED = mark("{item}: expired on {day}.")
_BY_BOX = mark("By the box check of {time}.")
_BY_STOCK = mark("By the stock entry of {time}.")
_BY_TUBE = mark("By the tube change of {time}.")
_TUBE_WORDS = mark("Tube in place")
_MENDED = mark("a newer entry {time}")


class ExpiryTracker(Standing):
    """The date of each item, from the box and from the stock, and that of the tube in place."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("box_check", "stock", "tube_change", OUT))
        self._stock: dict[str, tuple[date, Held]] = {}
        self._box: dict[str, tuple[date, Held]] = {}

    def take(self, shift: Shift, now: Instant) -> bool:
        if shift.kind == "stock":
            for held in (shift.before, shift.after):
                if held is not None:
                    self._read_stock(held.entry.details["item"])
            return True
        check = newest_check(self.ledger)
        dates = expiries(check.entry.details) if check is not None else {}
        self._box = {item: (day, check) for item, day in dates.items() if check is not None}
        return True

    def _tube(self) -> dict[str, tuple[date, Held]]:
        tube = self.ledger.tube_in_place()
        text = tube.entry.details.get("expiry") if tube is not None else None
        return {TUBE: (last_day(text), tube)} if tube is not None and text is not None else {}

    def _read_stock(self, item: str) -> None:
        """The newest date of an item in stock; none once it was counted 0."""
        self._stock.pop(item, None)
        for held in self.ledger.items[item].backward():
            details = held.entry.details
            if _says_date(details):
                if details.get("count") != 0:
                    self._stock[item] = last_day(details["expiry"]), held
                return

    def _dates(self) -> Iterator[tuple[str, date, Held]]:
        places = (self._box, self._stock, self._tube())
        for item in sorted({item for place in places for item in place}):
            found = [each[item] for each in places if item in each]
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
        by = {"box_check": _BY_BOX, "stock": _BY_STOCK}.get(held.entry.kind, _BY_TUBE)
        name = say(_TUBE_WORDS) if item == TUBE else ITEM.words(item)
        return Sign(
            key=item,
            subject=item,
            level=Level.CALL if is_over else Level.NOTE,
            entries=(held.entry.id,),
            known=now,
            time=now,
            headline=say(_EXPIRED if is_over else _EXPIRES).format(item=name, day=full_day(day)),
            why=say(by).format(time=named(held.time)),
        )

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        out = self.ledger.shelf(OUT).newest()
        if out is not None and self.ledger.just_known(out):
            return timed(TAKEN_OUT, self.ledger, out)
        newest = [self.ledger.shelf(kind).newest() for kind in self.kinds]
        new = [held for held in newest if held is not None and self.ledger.just_known(held)]
        return say(_MENDED).format(time=named(new[0].time)) if new else ""


def _says_date(details: Details) -> bool:
    """Stock that was counted 0, or that gives a date."""
    return details.get("count") == 0 or "expiry" in details


def _steps(home: Home, day: date) -> tuple[Instant, Instant]:
    """From when an item's last good day is a note, and from when a call."""
    return start_of(home, day, -EXPIRING_DAYS), start_of(home, day, 1)


ROWS: tuple[Row, ...] = ((BOX, BoxTracker), (EXPIRY, ExpiryTracker))
