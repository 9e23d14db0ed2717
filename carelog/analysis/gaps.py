"""Hours in which nothing was recorded: neither "nothing happened" nor "all as usual"."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise

from carelog.analysis.absence import Absence
from carelog.analysis.period import Period
from carelog.domain.moment import HOUR, Home, Instant
from carelog.domain.plan import Span

# From this long without an entry, quiet hours left out, a sheet names the hours (common practice, no source).
LONG = 6 * HOUR


@dataclass(frozen=True, slots=True)
class Gap:
    """A stretch of time without any entry."""

    start: Instant
    end: Instant

    @property
    def length(self) -> Instant:
        """How long, in microseconds."""
        return self.end - self.start


def gaps(
    times: Sequence[Instant],
    period: Period,
    quiet: Span | None,
    least: Instant = LONG,
    known: Sequence[Absence] = (),
) -> list[Gap]:
    """The stretches without an entry that touch the period and are at least so long outside the quiet hours.

    `times` are the moments of all entries in force, before and after the period too; `known` the stretches of
    which the record says why nothing stands there, which are left out.
    """
    edges = sorted({*times, period.judged} if period.judged not in times else set(times))
    edges = [time for time in edges if time <= period.judged or not period.is_finished]
    found = []
    for start, end in pairwise([period.start, *edges] if _starts_empty(edges, period) else edges):
        if end <= period.start or start >= period.judged:
            continue
        whole = Gap(max(start, period.start), min(end, period.judged))
        for gap in _without(whole, known):
            if gap.length >= least and gap.length - quiet_time(period.home, gap, quiet) >= least:
                found.append(gap)
    return found


def _without(gap: Gap, known: Sequence[Absence]) -> Iterator[Gap]:
    """What is left of a stretch once the known ones, by their starts, are taken out."""
    start = gap.start
    for each in known:
        if each.touches(start, gap.end):
            if each.start > start:
                yield Gap(start, each.start)
            start = max(start, each.until)
    if start < gap.end:
        yield Gap(start, gap.end)


def _starts_empty(edges: Sequence[Instant], period: Period) -> bool:
    return not edges or edges[0] > period.start


def quiet_time(home: Home, gap: Gap, quiet: Span | None) -> Instant:
    """How much of a stretch lies in the quiet hours."""
    return sum(
        max(0, min(gap.end, end) - max(gap.start, start)) for start, end in _quiet_spans(home, gap, quiet)
    )


def _quiet_spans(home: Home, gap: Gap, quiet: Span | None) -> Iterator[tuple[Instant, Instant]]:
    if quiet is None or quiet[0] == quiet[1]:
        return
    day, last = home.day(gap.start) - timedelta(days=1), home.day(gap.end)
    while day <= last:
        start = home.at(day, quiet[0])
        end = home.at(day if quiet[0] < quiet[1] else day + timedelta(days=1), quiet[1])
        yield start, end
        day += timedelta(days=1)


def longest(
    times: Sequence[Instant], start: Instant, end: Instant, home: Home, night: Span
) -> tuple[Instant, Instant]:
    """The longest stretch without an entry between two instants: by day, and by night; microseconds.

    A stretch over the night's beginning or end counts on either side with the part that lies there.
    """
    inside = [time for time in sorted(times) if start <= time < end]
    by_day, by_night = 0, 0
    for gap in map(Gap, [start, *inside], [*inside, end]):
        nights = [
            Gap(max(gap.start, first), min(gap.end, last))
            for first, last in _quiet_spans(home, gap, night)
            if first < gap.end and last > gap.start
        ]
        by_night = max([by_night, *(each.length for each in nights)])
        by_day = max([by_day, *(each.length for each in _between(gap, nights))])
    return by_day, by_night


def _between(gap: Gap, taken: Sequence[Gap]) -> Iterator[Gap]:
    """What is left of a stretch once others, in order, are taken out."""
    start = gap.start
    for each in taken:
        yield Gap(start, each.start)
        start = each.end
    yield Gap(start, gap.end)
