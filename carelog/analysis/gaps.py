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
        max(0, min(gap.end, end) - max(gap.start, start)) for start, end in nights_of(home, gap, quiet)
    )


def nights_of(home: Home, gap: Gap, quiet: Span | None) -> Iterator[tuple[Instant, Instant]]:
    """The quiet hours of each night that a stretch may touch."""
    if quiet is None or quiet[0] == quiet[1]:
        return
    day, last = home.day(gap.start) - timedelta(days=1), home.day(gap.end)
    while day <= last:
        start = home.at(day, quiet[0])
        end = home.at(day if quiet[0] < quiet[1] else day + timedelta(days=1), quiet[1])
        yield start, end
        day += timedelta(days=1)


def stretches(
    times: Sequence[Instant], start: Instant, end: Instant | None, known: Sequence[Absence] = ()
) -> list[Gap]:
    """Each stretch between two entries that reaches past `start`, whole; the last one up to `end`, if given.

    `times` in order, with the nearest before `start`; `known` as in `gaps`.
    """
    edges = [*times, end] if end is not None and times and end > times[-1] else list(times)
    whole = (Gap(one, other) for one, other in pairwise(edges) if other > max(one, start))
    return [part for each in whole for part in _without(each, known) if part.end > start]


def is_by_night(gap: Gap, nights: Sequence[tuple[Instant, Instant]]) -> bool:
    """Whether more than half of a stretch lies in the nights: by that it is told whole, and never cut."""
    within = sum(
        min(gap.end, end) - max(gap.start, start) for start, end in nights if _touches(gap, start, end)
    )
    return 2 * within > gap.length


def _touches(gap: Gap, start: Instant, end: Instant) -> bool:
    return gap.start < end and gap.end > start
