"""What to order: how many packs last until the next order, reckoned from use, stock and orders out."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from math import ceil

from carelog.analysis.in_force import Held, Reading, order_of
from carelog.analysis.supplies import Supply, supplies
from carelog.domain.moment import Instant
from carelog.domain.plan import LEAD_DAYS, RESERVE_DAYS, Plan
from carelog.domain.units import exact

FOR_DAYS = 28
"""How long an order is to last beyond lead time and reserve (our own choice; the sheet says it)."""


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One item of an order; counts in pieces, None where it isn't known.

    `days` is what the order is to cover with what is there: `FOR_DAYS`, lead time and reserve. `coming` was
    ordered and isn't here yet. `wanted` pieces are `packs` of the newest known size.
    """

    supply: Supply
    pack_size: Fraction | None
    counted: Held | None
    orders: tuple[Held, ...]
    lead: Fraction
    reserve: Fraction
    is_due: bool | None

    @property
    def days(self) -> Fraction:
        """How many days the stock, what is coming and this order together are to last."""
        return FOR_DAYS + self.lead + self.reserve

    @property
    def coming(self) -> Fraction:
        """How many were ordered and aren't delivered yet."""
        return sum((exact(held.entry.details["count"]) for held in self.orders), Fraction(0))

    @property
    def wanted(self) -> int | None:
        """How many pieces are missing until then, never less than 0; None without a count or any use."""
        count, per_day = self.supply.count, self.supply.per_day
        if count is None or not per_day:
            return None
        return max(ceil(per_day * self.days - max(count, Fraction(0)) - self.coming), 0)

    @property
    def packs(self) -> int | None:
        """How many whole packs that is."""
        if self.wanted is None or not self.pack_size or self.pack_size <= 0:
            return None
        return ceil(self.wanted / self.pack_size)


def order_lines(reading: Reading, plan: Plan | None, now: Instant) -> list[OrderLine]:
    """Every item that was ever counted or delivered, what has to be ordered first at the top."""
    today = reading.home.day(now)
    lead = exact(plan.number("lead_days", LEAD_DAYS)) if plan else Fraction(LEAD_DAYS)
    reserve = exact(plan.number("reserve_days", RESERVE_DAYS)) if plan else Fraction(RESERVE_DAYS)
    found = []
    for supply in supplies(reading, plan, now):
        stock = [h for h in reading.of("stock") if h.entry.details["item"] == supply.item]
        sizes = [exact(h.entry.details["pack_size"]) for h in stock if "pack_size" in h.entry.details]
        counts = [held for held in stock if "count" in held.entry.details]
        found.append(
            OrderLine(
                supply,
                sizes[-1] if sizes else None,
                counts[-1] if counts else None,
                tuple(_out(reading, supply.item, stock, today)),
                lead,
                reserve,
                _is_due(supply.order_by, today, lead),
            )
        )
    return sorted(found, key=lambda line: (line.supply.order_by or date.max, line.supply.item))


def _is_due(order_by: date | None, today: date, lead: Fraction) -> bool | None:
    """Whether it has to be ordered within the lead time; None: not known."""
    if order_by is None:
        return None
    try:
        return order_by <= today + timedelta(days=ceil(lead))
    except OverflowError:
        return True


def _out(reading: Reading, item: str, stock: Sequence[Held], today: date) -> list[Held]:
    """The orders of an item that may still come: by their date, or without one until the next delivery."""
    delivered = [held for held in stock if held.entry.details.get("delta", 0) > 0]
    last = order_of(delivered[-1]) if delivered else None
    return [
        held
        for held in reading.of("order")
        if held.entry.details["item"] == item
        and (last is None or order_of(held) > last)
        and date.fromisoformat(held.entry.details.get("expected", "9999-12-31")) >= today
    ]
