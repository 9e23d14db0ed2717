"""Hours of a period's days in words: valve on, cuff down, and the longest time without an entry."""

from collections.abc import Iterator, Sequence

from carelog.analysis.gaps import longest
from carelog.analysis.people import NIGHT
from carelog.analysis.times import clock, span
from carelog.analysis.week import Review
from carelog.analysis.worn import WornTime, lengths
from carelog.domain.moment import HOUR, MINUTE, Instant
from carelog.domain.plan import Span
from carelog.text import mark, say

_AWAY = mark("away")
_UNWRITTEN = mark("not written down")
_HOURS = mark("{hours} h {minutes}")
_LEFT_ON = mark("since {time}; no end recorded")
_STILL = mark("no end recorded")
_NONE = mark("none recorded")
_UNKNOWN = "–"
_DAY_NIGHT = mark("{day} / {night}")


def absent_word(review: Review, number: int) -> str:
    """The word for a day that a stay or a gap touches; empty for any other."""
    if number not in review.absent:
        return ""
    return say(_AWAY if review.absent[number] else _UNWRITTEN)


def touching(review: Review, found: Sequence[WornTime]) -> list[WornTime]:
    """The stretches that touch what is past of a period."""
    return [each for each in found if each.within(review.period.start, review.period.judged)]


def worn_words(review: Review, found: Sequence[WornTime]) -> Iterator[str]:
    """How long it was so on each day; of a stretch without an end only since when."""
    period = review.period
    ends = (*period.starts[1:], period.end)
    ended = [each for each in found if each.end is not None]
    totals = lengths(ended, period.starts, period.end)
    open_since = next((each.start for each in found if each.end is None), None)
    for number, (start, end) in enumerate(zip(period.starts, ends, strict=True)):
        parts = [exact_span(totals[number])] if totals[number] else []
        if open_since is not None and open_since < end and start < period.judged:
            parts.append(
                say(_STILL)
                if open_since < start
                else say(_LEFT_ON).format(time=clock(period.home, open_since))
            )
        yield "; ".join(parts) or _nothing(review, number)


def _nothing(review: Review, number: int) -> str:
    if not review.period.starts[number] < review.period.judged:
        return _UNKNOWN
    return absent_word(review, number) or (say(_NONE) if number in review.recorded else _UNKNOWN)


def exact_span(length: Instant) -> str:
    """1 h 35: hours and minutes."""
    return say(_HOURS).format(hours=length // HOUR, minutes=f"{length % HOUR // MINUTE:02}")


def night_of(review: Review) -> Span:
    """The night of a period: the plan's quiet hours, else our own."""
    plan = review.plan_at(review.period.start) or review.plan_at(review.period.judged)
    return plan.quiet if plan is not None and plan.quiet is not None else NIGHT


def unwritten_words(review: Review) -> list[str]:
    """The longest time without an entry on each day, by day and by night."""
    period, night = review.period, night_of(review)
    ends = (*period.starts[1:], period.end)
    return [_longest(review, number, min(end, period.judged), night) for number, end in enumerate(ends)]


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
