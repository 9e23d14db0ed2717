"""How long the supplies last by their use in the record."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from carelog.analysis.in_force import Held, Reading, order_of
from carelog.analysis.recorded import is_care
from carelog.analysis.spread import VARIED_DAYS, Use, ratio_of, use_of
from carelog.domain.entry import Details, Entry
from carelog.domain.moment import Instant
from carelog.domain.plan import LEAD_DAYS, RESERVE_DAYS, Plan
from carelog.domain.turn import give_way
from carelog.domain.units import exact, plain

WINDOW_DAYS = 14
FIRST_DAY = 3
"""Of the calendar: before it a zone's midnight may lie outside the years there are."""


@dataclass(frozen=True, slots=True)
class Supply:
    """One item: how many are left, how many go a day, how long they last; None is not known.

    A day's use is that of the last 14 full local days, by the recorded days among them; where they hold none
    of the item, what was entered last as its use a day. `uses` also say how far it varies from day to day, by
    those 14 days and by the last 56 recorded ones; none where the record knows too few days for that, or
    doesn't know the use. `is_entered`: the use a day is what somebody entered.
    """

    item: str
    count: Fraction | None
    per_day: Fraction | None
    days_left: Fraction | None
    order_by: date | None
    uses: tuple[Use, ...] = ()
    is_entered: bool = False


def used(entry: Entry) -> Iterator[tuple[str, int]]:
    """What an entry used up: (item, how many)."""
    details = entry.details
    if entry.kind == "suction" and "catheter_fr" in details:
        yield f"suction catheter {plain(details['catheter_fr'])} Fr", details.get("passes", 1)
    elif entry.kind == "humidity" and details["device"] == "hme" and details["action"] == "changed":
        yield "HME", 1
    elif entry.kind == "inner_tube" and details["outcome"] == "replaced":
        yield "inner tube", 1
    elif entry.kind == "stoma" and details.get("dressing") == "changed":
        yield "dressing", 1


USING = ("suction", "humidity", "inner_tube", "stoma")


def supplies(reading: Reading, plan: Plan | None, now: Instant) -> list[Supply]:
    """Every item that was counted or delivered, sorted by name."""
    home, today = reading.home, reading.home.day(now)
    first = date.fromordinal(max(today.toordinal() - WINDOW_DAYS, FIRST_DAY))
    varied = newest_days(reading, today)
    days = [day for day in varied if day >= first]
    notice = sum(exact(plan.number(name, default)) if plan else default for name, default in _NOTICE)
    uses = uses_of(reading)
    found = []
    for item in sorted({held.entry.details["item"] for held in reading.of("stock")}):
        stock = [held for held in reading.of("stock") if held.entry.details["item"] == item]
        of_item = uses.get(item, [])
        daily = Counter[date]()
        for held, count in of_item:
            daily[home.day(held.time)] += count
        recent = sum(count for day, count in daily.items() if first <= day < today)
        per_day = Fraction(recent, len(days)) if days else None
        lately, long = [daily[day] for day in days], [daily[day] for day in varied]
        ratio = ratio_of(long) if recent else None
        known = () if ratio is None else tuple(use_of(each, ratio) for each in (lately, long))
        if not recent:
            per_day = _entered(stock, per_day)
        left = count_left(stock, of_item)
        days_left = left / per_day if left is not None and per_day else None
        order_by = None if days_left is None else day_ahead(today, days_left - notice)
        found.append(Supply(item, left, per_day, days_left, order_by, known, not recent and bool(per_day)))
    return found


def uses_of(reading: Reading) -> dict[str, list[tuple[Held, int]]]:
    """What used up how many of each item, in reading order within a kind."""
    give_way()
    found = defaultdict[str, list[tuple[Held, int]]](list)
    for kind in USING:
        for held in reading.of(kind):
            for item, count in used(held.entry):
                found[item].append((held, count))
    return found


def newest_days(reading: Reading, today: date) -> list[date]:
    """The newest recorded days before today, as many as tell how far use varies, oldest first."""
    give_way()
    found: set[date] = set()
    for held in reversed(reading.held):
        if is_care(held.entry.kind) and (day := reading.home.day(held.time)) < today:
            found.add(day)
            if len(found) > VARIED_DAYS:
                found.remove(day)
                break
    return sorted(found)


def _entered(stock: list[Held], otherwise: Fraction | None) -> Fraction | None:
    """What somebody last said is used a day, where the record knows of no use."""
    said = [held.entry.details["per_day"] for held in stock if "per_day" in held.entry.details]
    return exact(said[-1]) if said else otherwise


_NOTICE = (("lead_days", LEAD_DAYS), ("reserve_days", RESERVE_DAYS))


def delta(details: Details) -> Fraction:
    """What a delivery added or a throwing away took; thrown away is less, with a minus or without."""
    number = exact(details["delta"])
    return -abs(number) if details.get("reason") == "waste" else number


def count_left(stock: list[Held], uses: list[tuple[Held, int]]) -> Fraction | None:
    """The last count, the changes after it, less the use since; None where nothing was ever counted."""
    counted = [place for place, held in enumerate(stock) if "count" in held.entry.details]
    if not counted:
        return None
    last = stock[counted[-1]]
    left = exact(last.entry.details["count"])
    left += sum(delta(held.entry.details) for held in stock[counted[-1] + 1 :])
    return left - sum(count for held, count in uses if order_of(held) > order_of(last))


def day_ahead(today: date, days: Fraction | float) -> date | None:
    """The day so many days ahead, rounded down; None beyond the calendar."""
    try:
        return today + timedelta(days=days.__floor__())
    except OverflowError:
        return None
