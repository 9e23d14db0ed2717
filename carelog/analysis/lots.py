"""What of an item goes out of date when: first expired first out, and what won't be used before its date."""

from bisect import insort
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from carelog.analysis.box import last_day
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.supplies import delta
from carelog.domain.units import exact


@dataclass(slots=True, order=True)
class Lot:
    """So many pieces that are good to the end of a day; of no known date they are used last."""

    last: date
    count: Fraction

    @property
    def is_dated(self) -> bool:
        """Whether anybody said how long it is good."""
        return self.last != date.max


def lots(stock: Sequence[Held], uses: Sequence[tuple[Held, int]]) -> list[Lot]:
    """What is left of an item by its last good days, the first at the front; empty without any count.

    What is used or thrown away is taken of what expires first. A count that gives a date gives it for all
    that was counted; one that doesn't takes what is missing of the first, and what is more has no known date.
    """
    if not any("count" in held.entry.details for held in stock):
        return []
    used = {held.entry.id: count for held, count in uses}
    found: list[Lot] = []
    for held in sorted((*stock, *(held for held, _ in uses)), key=order_of):
        details = held.entry.details
        if held.entry.id in used:
            _take(found, Fraction(used[held.entry.id]))
            continue
        last = last_day(details["expiry"]) if "expiry" in details else date.max
        if "count" in details:
            _count(found, exact(details["count"]), last)
        elif (changed := delta(details)) > 0:
            insort(found, Lot(last, changed))
        else:
            _take(found, -changed)
    return found


def _count(found: list[Lot], counted: Fraction, last: date) -> None:
    if last != date.max:
        found.clear()
    before = sum((lot.count for lot in found), Fraction(0))
    _take(found, before - counted)
    if counted > before:
        insort(found, Lot(last, counted - before))


def _take(found: list[Lot], count: Fraction) -> None:
    while found and count > 0:
        taken = min(found[0].count, count)
        found[0].count -= taken
        count -= taken
        if not found[0].count:
            found.pop(0)


def unused(left: Sequence[Lot], per_day: Fraction, today: date) -> Fraction:
    """How many won't be used before they go out of date, at so many a day, first expired first out."""
    gone, days = Fraction(0), Fraction(0)
    for lot in left:
        room = max((lot.last - today).days + 1 - days, Fraction(0)) * per_day
        taken = min(lot.count, room)
        gone += lot.count - taken
        days += taken / per_day
    return gone
