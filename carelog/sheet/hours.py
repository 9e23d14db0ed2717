"""Rows of hours beneath a week's pictures: valve on, cuff down, and the longest time without an entry."""

from collections.abc import Iterator, Sequence

from carelog.analysis.gaps import longest
from carelog.analysis.people import NIGHT
from carelog.analysis.times import clock, span
from carelog.analysis.week import Review
from carelog.analysis.worn import WornTime, cuff_down, lengths, valve_on
from carelog.domain.moment import HOUR, MINUTE, Instant
from carelog.domain.plan import Span
from carelog.sheet.blocks import Cell, WordRow, words
from carelog.sheet.grid import absent_word
from carelog.text import mark, say

_HOURS = mark("{hours} h {minutes}")
_LEFT_ON = mark("since {time}; no end recorded")
_STILL = mark("no end recorded")
_NONE = mark("none recorded")
_UNKNOWN = "–"
_DAY_NIGHT = mark("{day} / {night}")


def worn_rows(review: Review) -> Iterator[WordRow]:
    """How long a speaking valve or cap was on and the cuff down on each day; no row for what never was."""
    for title, found in (
        (say(mark("Valve or cap on")), valve_on(review.reading)),
        (say(mark("Cuff down")), cuff_down(review.reading)),
    ):
        touching = [each for each in found if each.within(review.period.start, review.period.judged)]
        if touching:
            yield WordRow(title, tuple(_cells(review, touching)))


def _cells(review: Review, found: Sequence[WornTime]) -> Iterator[Cell]:
    period = review.period
    ends = (*period.starts[1:], period.end)
    ended = [each for each in found if each.end is not None]
    totals = lengths(ended, period.starts, period.end)
    open_since = next((each.start for each in found if each.end is None), None)
    for number, (start, end) in enumerate(zip(period.starts, ends, strict=True)):
        parts = [_exact(totals[number])] if totals[number] else []
        if open_since is not None and open_since < end and start < period.judged:
            parts.append(
                say(_STILL)
                if open_since < start
                else say(_LEFT_ON).format(time=clock(period.home, open_since))
            )
        yield Cell(words("; ".join(parts) or _nothing(review, number)))


def _nothing(review: Review, number: int) -> str:
    if not review.period.starts[number] < review.period.judged:
        return _UNKNOWN
    return absent_word(review, number) or (say(_NONE) if number in review.recorded else _UNKNOWN)


def _exact(length: Instant) -> str:
    """1 h 35: hours and minutes."""
    return say(_HOURS).format(hours=length // HOUR, minutes=f"{length % HOUR // MINUTE:02}")


def unwritten_row(review: Review) -> WordRow:
    """The longest time without an entry on each day, by day and by night: by the plan's quiet hours."""
    period = review.period
    plan = review.plan_at(period.start) or review.plan_at(period.judged)
    night = plan.quiet if plan is not None and plan.quiet is not None else NIGHT
    ends = (*period.starts[1:], period.end)
    cells = [
        Cell(words(_longest(review, number, min(end, period.judged), night)))
        for number, end in enumerate(ends)
    ]
    return WordRow(say(mark("No entry for")), tuple(cells), say(mark("by day / by night")))


def _longest(review: Review, number: int, end: Instant, night: Span) -> str:
    start = review.period.starts[number]
    if start >= end:
        return _UNKNOWN
    absent = absent_word(review, number)
    if absent:
        return absent
    times = [row.time for row in review.held if row.day == number]
    if not review.period.is_finished and end == review.period.judged:
        if not times:
            return _UNKNOWN
        end = max([start, *times])  # how far the day is gone by the clock isn't printed
    by_day, by_night = longest(times, start, end, review.period.home, night)
    return say(_DAY_NIGHT).format(day=span(by_day), night=span(by_night))
