"""How many suctions a day are usual for the person, once that is learnt: the band of a week's picture."""

from bisect import bisect_left
from collections.abc import Sequence
from datetime import date, timedelta

from carelog.analysis.in_force import Held
from carelog.analysis.usual.day import Day, Fact, counted_kind, covered, edges_of, unrecorded
from carelog.analysis.usual.learning import FIRST_JUDGED, LEARNT_DAYS, NEWEST_LEFT_OUT
from carelog.analysis.usual.usual import Learnt, rate
from carelog.analysis.week import Review
from carelog.domain.moment import Home, Instant

COUNTED = "suction"


def learnt_band(review: Review) -> tuple[int, int] | None:
    """The range in which about two of three fully recorded days lie; None before the 14th recorded day.

    Learnt from the recorded days before the period by the means of the flags: a comparison of the person with
    themselves, no norm. Restarts, and days on which a flag was in force, are not looked at here.
    """
    held, period = review.reading.held, review.period
    first = period.days[0] - timedelta(days=LEARNT_DAYS + NEWEST_LEFT_OUT)
    times = [each.time for each in held]
    low = bisect_left(times, period.home.start_of(first))
    high = bisect_left(times, period.start)
    days = _days(
        period.home, first, (period.days[0] - first).days, held[low:high], times[low:high], period.start
    )
    if len(days) < FIRST_JUDGED:
        return None
    left_out = min(NEWEST_LEFT_OUT, max(1, len(days) - FIRST_JUDGED + 2))
    return rate(days[:-left_out][-LEARNT_DAYS:]).band()


def _days(
    home: Home, first: date, count: int, held: Sequence[Held], times: Sequence[Instant], now: Instant
) -> list[Learnt]:
    """The recorded days from the first on, each with its suctions through the tube and what was covered."""
    learnt = []
    for number in range(count):
        here = first + timedelta(days=number)
        edges = edges_of(home, here)
        low, high = bisect_left(times, edges[0]), bisect_left(times, edges[-1])
        if low == high:
            continue
        gaps = unrecorded(
            times[low:high],
            times[low - 1] if low else None,
            times[high] if high < len(times) else None,
            now,
        )
        day = Day(here.toordinal(), edges, [_fact(each) for each in held[low:high] if _is_counted(each)])
        learnt.append(Learnt(day, covered(edges, gaps, now), ()))
    return learnt


def _is_counted(held: Held) -> bool:
    entry = held.entry
    return entry.kind == COUNTED and counted_kind(entry.kind, entry.details) == COUNTED


def _fact(held: Held) -> Fact:
    return Fact(held.time, held.first.id, held.entry.id, held.entry.by, COUNTED, {})
