"""How many suctions a day are usual for the person, once that is learnt: the band of a week's picture."""

from bisect import bisect_left
from collections.abc import Sequence
from datetime import date, timedelta

from carelog.analysis.in_force import Held, Reading
from carelog.analysis.usual.day import Day, counted_kind, covered, edges_of, unrecorded
from carelog.analysis.usual.learning import FIRST_JUDGED, HORIZON, LEARNT_DAYS, NEWEST_LEFT_OUT
from carelog.analysis.usual.usual import Learnt, rate
from carelog.analysis.week import Review
from carelog.domain.moment import Instant

COUNTED = "suction"
LEARNT_FROM = HORIZON
"""So many days before a period are looked at."""


def learnt_band(review: Review) -> tuple[int, int] | None:
    """The range in which about two of three fully recorded days lie; None before the 14th recorded day.

    Learnt from the recorded days before the period by the means of the flags: a comparison of the person with
    themselves, no norm. Restarts, and days on which a flag was in force, are not looked at here.
    """
    return learnt_bands(review, [0])[0]


def learnt_bands(review: Review, numbers: Sequence[int]) -> list[tuple[int, int] | None]:
    """The same as learnt before each of some days of the period, by their numbers."""
    span, wanted = review.period, sorted(set(numbers))
    past = [number for number in wanted if span.starts[number] <= span.judged]
    if not past:
        return [None for _ in numbers]
    first = span.days[0] - timedelta(days=HORIZON)
    until = span.starts[past[-1]]
    days = _days(review.reading, first, HORIZON + past[-1], until)
    found = {number: _band(days, span.days[number].toordinal()) for number in past}
    return [found.get(number) for number in numbers]


def _band(days: Sequence[Learnt], before: int) -> tuple[int, int] | None:
    """Of the recorded days in order, the band learnt from those before a day (its ordinal)."""
    first = bisect_left(days, before - HORIZON, key=lambda each: each.day.ordinal)
    here = days[first : bisect_left(days, before, key=lambda each: each.day.ordinal)]
    if len(here) < FIRST_JUDGED:
        return None
    left_out = min(NEWEST_LEFT_OUT, max(1, len(here) - FIRST_JUDGED + 2))
    return rate(here[:-left_out][-LEARNT_DAYS:]).band()


def _days(reading: Reading, first: date, count: int, now: Instant) -> list[Learnt]:
    """The recorded days from the first on, each with its suctions through the tube and what was covered.

    Entries of `now` and later aren't looked at.
    """
    learnt, home, whole = [], reading.home, reading.held
    suctions = [held.time for held in reading.of(COUNTED) if _is_counted(held)]
    since = bisect_left(whole, home.start_of(first), key=lambda each: each.time)
    end = bisect_left(whole, now, key=lambda each: each.time)
    times = [each.time for each in whole[since:end]]
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
        counted = suctions[bisect_left(suctions, edges[0]) : bisect_left(suctions, min(edges[-1], now))]
        day = Day.of_suctions(here.toordinal(), edges, counted)
        learnt.append(Learnt(day, covered(edges, gaps, now), ()))
    return learnt


def _is_counted(held: Held) -> bool:
    """Whether a suction is one through the tube."""
    return counted_kind(COUNTED, held.entry.details) == COUNTED
