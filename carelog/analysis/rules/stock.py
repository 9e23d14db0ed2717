"""Stock that runs low: what is left against the days it lasts, and what is on order."""

from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from itertools import takewhile

from carelog.analysis.flags.ledger import Key, Ledger, Shift
from carelog.analysis.flags.life import NEVER, Cause
from carelog.analysis.flags.naming import named
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.rules.rule import PRACTICE, Rule, Said
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Row, Tracker
from carelog.analysis.rules.tube import start_of
from carelog.analysis.supplies import USING, WINDOW_DAYS, delta, used
from carelog.domain.entry import Details
from carelog.domain.flag import Level, Matter
from carelog.domain.moment import DAY_24_H, Instant
from carelog.domain.plan import LEAD_DAYS, RESERVE_DAYS
from carelog.domain.units import exact, plain
from carelog.text import mark, say, say_n

STOCK_LOW = Rule(
    name="stock_low",
    title=mark("Stock low"),
    subject=mark("the item"),
    raised=mark(
        "The days that an item lasts, by its use, are no more than the order's lead time and the reserve. "
        "Where the record knows of no use, what somebody wrote is used a day."
    ),
    level=mark("note; call when no more than the lead time, with no order out whose date hasn't passed"),
    clears=mark("The count or delivery that mends it."),
    sources=(PRACTICE,),
    falls=True,
    matter=Matter.KIT,
    looks_back=(WINDOW_DAYS + 2) * DAY_24_H,
    reads=(
        Said("suction", "catheter_fr"),
        Said("humidity", "action", ("changed",)),
        Said("inner_tube", "outcome", ("replaced",)),
        Said("stoma", "dressing", ("changed",)),
    ),
)
_TOO_MANY = mark("{item}: more used than counted. Count again.")
_UNUSED = mark("{item}: {left} left.")
_WHY_UNUSED = mark("{left} left, no use known. Lead time {lead} days, reserve {reserve}.")
_WHY = mark("{left} left, about {per_day} a day. Lead time {lead} days, reserve {reserve}.")
_ORDERED = mark("Ordered; expected {day}.")
_NOT_ORDERED = mark("No order recorded as on its way.")
_MENDED = mark("a newer entry {time}")


@dataclass(slots=True)
class StockItem:
    """One item: its last count, what is left, and what it shows now."""

    count: Held | None = None
    left: Fraction | int = 0
    delivered: Key | None = None
    sign: Sign | None = None
    may_mend: bool = False
    is_stale: bool = False
    recent: tuple[date, int, int] | None = None


class StockTracker(Tracker):
    """All items that were counted; the use of each day is kept as it is written."""

    kinds = ("stock", "order", "plan", *USING)

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger)
        self._items: dict[str, StockItem] = {}
        self._sleeps = False
        self._use: defaultdict[str, Counter[date]] = defaultdict(Counter)

    def take(self, shift: Shift, now: Instant) -> bool:
        if shift.kind in USING:
            return self._take_use(shift, now)
        if shift.kind == "plan":
            names = list(self._items)
        else:
            names = [held.entry.details["item"] for held in (shift.before, shift.after) if held is not None]
        for name in names:
            item = self._items.setdefault(name, StockItem())
            item.may_mend = True
            item.is_stale = item.is_stale or shift.kind == "stock"
            item.recent = None
        return True

    def _take_use(self, shift: Shift, now: Instant) -> bool:
        names = set()
        for held, sign in ((shift.before, -1), (shift.after, 1)):
            if held is None:
                continue
            for name, count in used(held.entry):
                names.add(name)
                day, item = self.ledger.day(held.time), self._items.get(name)
                self._use[name][day] += sign * count
                if item is not None and item.recent is not None and day < item.recent[0]:
                    item.recent = None
                if item is not None and item.count is not None and order_of(held) > order_of(item.count):
                    item.left -= sign * count  # where it is stale, all is counted again anyway
        changed = self._sleeps
        for name in names & self._items.keys():
            item = self._items[name]
            if item.is_stale:
                return True
            before = item.sign.level if item.sign is not None else None
            if self._level(name, item, now) != before:
                changed = True
                item.may_mend = item.may_mend or shift.before is not None
        return changed

    def _count(self, name: str, item: StockItem) -> None:
        """Work out what is left, from the last count on."""
        item.is_stale = False
        item.count, item.left = self._left(name, (NEVER, 0, ""))
        stock = self.ledger.items[name].backward()
        item.delivered = next((order_of(held) for held in stock if _is_delivery(held.entry.details)), None)

    def _left(self, name: str, place: Key) -> tuple[Held | None, Fraction | int]:
        """The last count before a place in the order, and what was left at that place."""
        changed: Fraction | int = 0
        for held in self.ledger.items[name].backward(place):
            if "count" in held.entry.details:
                counted = changed + _number(held.entry.details["count"])
                return held, counted - sum(self._uses(name, order_of(held), place))
            changed += delta(held.entry.details)
        return None, 0

    def _uses(self, name: str, start: Key, end: Key) -> Iterator[int]:
        for kind in USING:
            for held in takewhile(lambda each: order_of(each) < end, self.ledger.shelf(kind).forward(start)):
                yield from (each for item, each in used(held.entry) if item == name)

    def inherit(self, before: Tracker) -> None:
        if isinstance(before, StockTracker):
            for name, item in before._items.items():
                kept = self._items.setdefault(name, StockItem())
                kept.sign, kept.may_mend, kept.is_stale, kept.recent = item.sign, False, True, None

    def leans_on(self, now: Instant, subjects: Collection[str | None] | None = None) -> Instant:
        """The oldest of the items' last counts: what was used since is counted down from it."""
        items = (item for name, item in self._items.items() if subjects is None or name in subjects)
        counts = [item.count for item in items if item.count is not None]
        return min((min(held.time, held.known) for held in counts), default=NEVER)

    def days_changed(self, now: Instant) -> bool:
        for item in self._items.values():
            item.recent = None
        return bool(self._items)

    def wake(self, now: Instant) -> Instant:
        if all(item.count is None and not item.is_stale for item in self._items.values()):
            return NEVER
        today, days = self.ledger.day(now), self.ledger.days
        self._sleeps = not days or (today - days[-1]).days > WINDOW_DAYS + 1
        if not self._sleeps:
            return start_of(self.ledger.home, today, 1)
        dates = (held.entry.details.get("expected") for held in self.ledger.shelf("order").held)
        passing = (start_of(self.ledger.home, date.fromisoformat(text), 1) for text in dates if text)
        return min((moment for moment in passing if moment > now), default=NEVER)

    def _notice(self, now: Instant) -> tuple[Fraction | int, Fraction | int]:
        """The order's lead time and the reserve, in days."""
        plan = self.ledger.plan_at(now)
        if plan is None:
            return LEAD_DAYS, RESERVE_DAYS
        return _number(plan.number("lead_days", LEAD_DAYS)), _number(
            plan.number("reserve_days", RESERVE_DAYS)
        )

    def _recent(self, name: str, item: StockItem, now: Instant) -> tuple[int, int]:
        """What was used on the last 14 full days, and how many of them are recorded days.

        Where no use is known, what somebody last said is used a day, as so much in so many days.
        """
        today = self.ledger.day(now)
        if item.recent is None or item.recent[0] != today:
            first = date.fromordinal(max(today.toordinal() - WINDOW_DAYS, 1))
            days, use = self.ledger.days, self._use[name]
            recorded = bisect_left(days, today) - bisect_left(days, first)
            count = sum(use[first + timedelta(days=n)] for n in range(WINDOW_DAYS))
            if not count:
                count, recorded = self._entered(name)
            item.recent = today, count, recorded
        return item.recent[1:]

    def _entered(self, name: str) -> tuple[int, int]:
        said = (held.entry.details for held in self.ledger.items[name].backward())
        per_day = next((exact(details["per_day"]) for details in said if "per_day" in details), Fraction(0))
        return per_day.numerator, per_day.denominator

    def _level(self, name: str, item: StockItem, now: Instant) -> Level | None:
        if item.is_stale:
            self._count(name, item)
        recent, recorded = self._recent(name, item, now)
        if item.count is None or not recent or not recorded:
            return None
        lead, reserve = self._notice(now)
        if item.left * recorded > (lead + reserve) * recent:
            return None
        if item.left * recorded > lead * recent or self._order_out(name, item, now) is not None:
            return Level.NOTE
        return Level.CALL

    def _order_out(self, name: str, item: StockItem, now: Instant) -> Held | None:
        """An order not delivered yet whose date hasn't passed."""
        for order in self.ledger.shelf("order").backward():
            if item.delivered is not None and order_of(order) < item.delivered:
                return None
            details = order.entry.details
            if details["item"] != name:
                continue
            if "expected" not in details or self.ledger.day(now) <= date.fromisoformat(details["expected"]):
                return order
        return None

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        for name, item in self._items.items():
            level = self._level(name, item, now)
            before = item.sign.level if item.sign is not None else None
            is_less = before is not None and (level is None or level < before)
            if level != before and (item.may_mend or not is_less):
                item.sign = self._sign(name, item, level, now) if level is not None else None
            item.may_mend = False
        return [item.sign for item in self._items.values() if item.sign is not None]

    def words(self, subject: str | None, now: Instant) -> tuple[str, str] | None:
        item = self._items.get(subject or "")
        if item is None or subject is None:
            return None
        if item.is_stale:
            self._count(subject, item)
        return self._words(subject, item, now)

    def _sign(self, name: str, item: StockItem, level: Level, now: Instant) -> Sign:
        headline, why = self._words(name, item, now)
        assert item.count is not None
        return Sign(
            key=name,
            subject=name,
            level=level,
            entries=(item.count.entry.id,),
            known=now,
            time=now,
            headline=headline,
            why=why,
        )

    def _words(self, name: str, item: StockItem, now: Instant) -> tuple[str, str]:
        """What is left now, for how long, and what is on order."""
        recent, recorded = self._recent(name, item, now)
        lead, reserve = self._notice(now)
        order = self._order_out(name, item, now)
        headline = say(_UNUSED).format(item=name, left=plain(Fraction(item.left)))
        if item.left < 0:
            headline = say(_TOO_MANY).format(item=name)
        elif recent:
            days = Fraction(item.left * recorded, recent).__floor__()
            headline = say_n("{item}: about one day left.", "{item}: about {days} days left.", days).format(
                item=name, days=days
            )
        why = say(_WHY if recent else _WHY_UNUSED).format(
            left=plain(Fraction(item.left)),
            per_day=plain(round(Fraction(recent, max(recorded, 1)), 1)),
            lead=plain(Fraction(lead)),
            reserve=plain(Fraction(reserve)),
        )
        ordered = say(_NOT_ORDERED)
        if order is not None:
            ordered = say(_ORDERED).format(day=order.entry.details.get("expected", "–"))
        return headline, f"{why} {ordered}"

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        newest = self.ledger.shelf("stock").newest()
        if newest is None or not self.ledger.just_known(newest):
            return ""
        return say(_MENDED).format(time=named(newest.time))


def _is_delivery(details: Details) -> bool:
    return bool(details.get("delta", 0) > 0)


def _number(value: int | float) -> Fraction | int:
    return value if isinstance(value, int) else exact(value)


ROWS: tuple[Row, ...] = ((STOCK_LOW, StockTracker),)
