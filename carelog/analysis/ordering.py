"""What to order: how many packs last until the next order, reckoned from use, stock and orders out."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor

from carelog.analysis.in_force import Held, Reading, order_of
from carelog.analysis.lots import Lot, lots, unused
from carelog.analysis.spread import LONGEST, range_of_days, surely_lasts
from carelog.analysis.supplies import Supply, day_ahead, delta, supplies, uses_of
from carelog.domain.moment import Instant
from carelog.domain.plan import LEAD_DAYS, RESERVE_DAYS, Plan
from carelog.domain.sure import SURE
from carelog.domain.units import exact
from carelog.text import mark, say

FOR_DAYS = 28
"""How long an order is to last beyond lead time and reserve (our own choice; the sheet says it)."""
_LASTING = mark("{days} ({least} to {most})")


@dataclass(frozen=True, slots=True)
class Coming:
    """An order, and how many of it haven't come yet; `is_late`: it isn't reckoned with any more.

    It is from the day after the one it was expected on; where nobody said a day, once lead time and reserve
    have gone by.
    """

    order: Held
    count: Fraction
    is_late: bool


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One item of an order; counts in pieces, None where it isn't known.

    `days` is what the order is to cover with what is there: `FOR_DAYS`, lead time and reserve. `coming` was
    ordered and isn't here yet. `wanted` pieces are `packs` of the newest known size. `lasts` is the range of
    days left, `surely_by` the day to order by so that the stock outlasts the delivery in so many of 100, as
    the household chose; None where the record doesn't tell how far use varies. `unused` go out of date before
    they are used.
    """

    supply: Supply
    pack_size: Fraction | None
    counted: Held | None
    orders: tuple[Coming, ...]
    lead: Fraction
    reserve: Fraction
    is_due: bool | None
    lots: tuple[Lot, ...] = ()
    unused: Fraction = Fraction(0)
    lasts: tuple[float, float] | None = None
    surely_by: date | None = None

    @property
    def days(self) -> Fraction:
        """How many days the stock, what is coming and this order together are to last."""
        return FOR_DAYS + self.lead + self.reserve

    @property
    def order_by(self) -> date | None:
        """The day to order by: the earlier of the two."""
        return min((day for day in (self.supply.order_by, self.surely_by) if day), default=None)

    @property
    def coming(self) -> Fraction:
        """How many were ordered, aren't delivered yet and can still be reckoned with."""
        return sum((each.count for each in self.orders if not each.is_late), Fraction(0))

    @property
    def usable(self) -> Fraction:
        """How many are there and will be used before they go out of date."""
        return max((self.supply.count or Fraction(0)) - self.unused, Fraction(0))

    @property
    def wanted(self) -> int | None:
        """How many pieces are missing until then, never less than 0; None without a count or any use."""
        if self.supply.count is None or not self.supply.per_day:
            return None
        return max(ceil(self.supply.per_day * self.days - self.usable - self.coming), 0)

    @property
    def packs(self) -> int | None:
        """How many whole packs that is."""
        if self.wanted is None or not self.pack_size or self.pack_size <= 0:
            return None
        return ceil(self.wanted / self.pack_size)


def lasting(line: OrderLine) -> str:
    """The whole days left, and where the record tells it at least and at most how many: “14 (11 to 17)”."""
    days = max((line.supply.days_left or Fraction(0)).__floor__(), 0)
    least, most = (days, days) if line.lasts is None else map(floor, line.lasts)
    if least == most == days:
        return str(days)
    return say(_LASTING).format(days=days, least=min(least, days), most=max(most, days))


def order_lines(reading: Reading, plan: Plan | None, now: Instant, sure: int = SURE[0]) -> list[OrderLine]:
    """Every item that was ever counted or delivered, what has to be ordered first at the top.

    `sure`: in so many of 100 the stock is to outlast the delivery.
    """
    today = reading.home.day(now)
    lead = exact(plan.number("lead_days", LEAD_DAYS)) if plan else Fraction(LEAD_DAYS)
    reserve = exact(plan.number("reserve_days", RESERVE_DAYS)) if plan else Fraction(RESERVE_DAYS)
    uses, found = uses_of(reading), []
    for supply in supplies(reading, plan, now):
        stock = [h for h in reading.of("stock") if h.entry.details["item"] == supply.item]
        sizes = [exact(h.entry.details["pack_size"]) for h in stock if "pack_size" in h.entry.details]
        counts = [held for held in stock if "count" in held.entry.details]
        left = lots(stock, uses.get(supply.item, []))
        line = OrderLine(
            supply,
            sizes[-1] if sizes else None,
            counts[-1] if counts else None,
            tuple(_out(reading, supply.item, stock, now, lead + reserve)),
            lead,
            reserve,
            None,
            tuple(left),
            unused(left, supply.per_day, today) if supply.per_day and supply.per_day > 0 else Fraction(0),
        )
        line = _with_chance(line, today, sure)
        found.append(replace(line, is_due=_is_due(line.order_by, today, lead)))
    return sorted(found, key=lambda line: (line.order_by or date.max, line.supply.item))


def _with_chance(line: OrderLine, today: date, sure: int) -> OrderLine:
    """The same with how long it lasts at least and at most, where the record tells how far use varies."""
    uses, count, days = line.supply.uses, line.supply.count, line.supply.days_left
    if not uses or count is None or days is None or not 0 < days <= LONGEST:
        return line
    by = day_ahead(today, surely_lasts(uses, line.usable, sure) - float(line.lead))
    return replace(line, lasts=range_of_days(uses, count, sure), surely_by=by)


def _is_due(order_by: date | None, today: date, lead: Fraction) -> bool | None:
    """Whether it has to be ordered within the lead time; None: not known."""
    if order_by is None:
        return None
    try:
        return order_by <= today + timedelta(days=ceil(lead))
    except OverflowError:
        return True


def _out(
    reading: Reading, item: str, stock: Sequence[Held], now: Instant, patience: Fraction
) -> list[Coming]:
    """The orders of an item that haven't come whole; a delivery ticks off what is expected, oldest first."""
    orders = [held for held in reading.of("order") if held.entry.details["item"] == item]
    delivered = [held for held in stock if "delta" in held.entry.details and delta(held.entry.details) > 0]
    left: dict[str, Fraction] = {}
    waiting: list[Held] = []
    for held in sorted((*orders, *delivered), key=order_of):
        if held.entry.kind == "order":
            left[held.entry.id] = exact(held.entry.details["count"])
            waiting += [held] if left[held.entry.id] > 0 else []
            continue
        came = delta(held.entry.details)
        for order in sorted(waiting, key=lambda each: _is_late(reading, each, held.time, patience)):
            ticked = min(left[order.entry.id], came)
            left[order.entry.id] -= ticked
            came -= ticked
        waiting = [order for order in waiting if left[order.entry.id] > 0]
    return [Coming(each, left[each.entry.id], _is_late(reading, each, now, patience)) for each in waiting]


def _is_late(reading: Reading, order: Held, then: Instant, patience: Fraction) -> bool:
    """Whether an order is overdue at a moment."""
    expected = order.entry.details.get("expected")
    if expected is not None:
        return reading.home.day(then) > date.fromisoformat(expected)
    last = day_ahead(reading.home.day(order.time), patience)
    return last is not None and reading.home.day(then) > last
