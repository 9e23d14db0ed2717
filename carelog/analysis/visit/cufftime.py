"""For how much of a period the cuff is known to have been inside the plan's limits, by its readings."""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from carelog.analysis.cuff import active_cuff, cuff_events
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.limits import outside as beyond
from carelog.analysis.tube import tube_events
from carelog.analysis.week import Review
from carelog.domain.moment import DAY_24_H, Instant
from carelog.kinds.cuff_pressure import CUFF_PRESSURE

COUNTS_FOR = DAY_24_H
"""So long a reading counts, if no other comes (our own choice)."""


@dataclass(frozen=True, slots=True)
class CuffTime:
    """Microseconds inside and outside the limits by the last reading, and those of which none tells."""

    inside: Instant
    outside: Instant
    unknown: Instant
    entries: tuple[Held, ...] = ()
    """What it is reckoned from: the readings that count, and what says when the cuff was up."""

    @property
    def known(self) -> Instant:
        """Of how much a reading tells."""
        return self.inside + self.outside

    @property
    def percent(self) -> int:
        """The whole per cent inside of what is known; 100 only where nothing was outside."""
        return self.inside * 100 // self.known if self.known else 0


def cuff_time(review: Review) -> CuffTime | None:
    """A reading counts as it was left until the next, another tube, the cuff's coming down, or 24 h.

    Hours with the cuff down, or with no cuff that holds air, take no part. None where no plan of the period
    has limits for it.
    """
    start, end = review.period.start, review.period.judged
    if not any(_has_limits(review, at) for at in (start, *(plan.since for plan in review.plans)) if at < end):
        return None
    changes = active_cuff(review.reading)
    up = _up(changes, start, end)
    readings = [held for held in review.reading.of(CUFF_PRESSURE.name) if held.time < end]
    stops = sorted(
        [
            *(held.time for held in readings),
            *(held.time for held in tube_events(review.reading)),
            *(time for time, is_up in changes if not is_up),
        ]
    )
    inside = outside = 0
    counting = []
    for held in readings:
        place = bisect_right(stops, held.time)
        following = stops[place] if place < len(stops) else end
        stretch = max(held.time, start), min(following, held.time + COUNTS_FOR, end)
        if _within(up, *stretch):
            counting.append(held)
        for begin, stop in _by_plan(review, *stretch):
            if not _has_limits(review, begin):
                continue
            if _is_outside(review, held, begin):
                outside += _within(up, begin, stop)
            else:
                inside += _within(up, begin, stop)
    unknown = sum(stop - begin for begin, stop in up) - inside - outside
    entries = sorted({*counting, *_said(review, start, end)}, key=order_of)
    return CuffTime(inside, outside, unknown, tuple(entries))


def _said(review: Review, start: Instant, end: Instant) -> list[Held]:
    """What says in the period that the cuff was up or down, and the last that said so before it."""
    events = [each.held for each in cuff_events(review.reading) if each.held.time < end]
    before = [held for held in events if held.time < start]
    return [*before[-1:], *(held for held in events if held.time >= start)]


def _by_plan(review: Review, start: Instant, end: Instant) -> Iterator[tuple[Instant, Instant]]:
    """A stretch, cut where another plan begins: what was inside one plan may lie outside the next."""
    if start < end:
        cuts = sorted({plan.since for plan in review.plans if start < plan.since < end})
        yield from pairwise([start, *cuts, end])


def _has_limits(review: Review, at: Instant) -> bool:
    return bool(review.limits_at(at).get(CUFF_PRESSURE.name))


def _is_outside(review: Review, held: Held, at: Instant) -> bool:
    """As it was left, where somebody adjusted it, against the limits of a moment."""
    against = replace(review.judging.against(held), given=review.limits_at(at))
    details = held.entry.details
    fields = {each.field for each in beyond(held.entry.kind, details, against)}
    return ("value_after" if "value_after" in details else "value") in fields


def _up(
    changes: Sequence[tuple[Instant, bool]], start: Instant, end: Instant
) -> list[tuple[Instant, Instant]]:
    """The stretches between two instants in which an air cuff was up; it counts as up before any change."""
    found, since, is_up = [], start, True
    for time, goes_up in changes:
        if time >= end:
            break
        if is_up and not goes_up and time > since:
            found.append((since, time))
        if goes_up and not is_up:
            since = max(time, start)
        is_up = goes_up
    if is_up and since < end:
        found.append((since, end))
    return found


def _within(stretches: Sequence[tuple[Instant, Instant]], start: Instant, end: Instant) -> Instant:
    return sum(max(0, min(stop, end) - max(begin, start)) for begin, stop in stretches)
