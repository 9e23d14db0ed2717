"""Hours of a period's days in words: valve on, cuff down, and the longest time without an entry."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from carelog.analysis.gaps import Gap, is_by_night, nights_of, stretches
from carelog.analysis.people import NIGHT
from carelog.analysis.times import clock, near
from carelog.analysis.week import Review
from carelog.analysis.worn import WornTime, lengths
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Home, Instant
from carelog.domain.plan import Span
from carelog.text import mark, say

_AWAY = mark("away")
_UNWRITTEN = mark("not written down")
_HOURS = mark("{hours}\N{NO-BREAK SPACE}h\N{NO-BREAK SPACE}{minutes}")
_LEFT_ON = mark("since {time}; no end recorded")
_STILL = mark("no end recorded")
_NONE = mark("none recorded")
_UNKNOWN = "–"
_DAY_NIGHT = mark("{day} / {night}")
_BY_DAY = mark("by day {words}")
_BY_NIGHT = mark("by night {words}")
_FROM_TO = mark("{length}, {start} to {end}")
_CUT = mark("{length} so far, since {start}")
_AT_LEAST = mark("{length} or more")
_SINCE = mark("{length} or more, since {start}")
_NOTHING = mark("no entry at all")
FARTHEST = 28 * DAY_24_H
"""Of entries longer before or after a period than this nothing is told: not all that lies between is read."""


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


@dataclass(frozen=True, slots=True)
class Unwritten:
    """A stretch without an entry, whole, on the day on which it begins (the first day: or before it).

    `is_cut`: no entry that ends it is known; then it is told up to now, or to the end of the days. `goes_on`:
    it is one of days that aren't over.
    """

    gap: Gap
    day: int
    is_by_night: bool
    is_cut: bool
    goes_on: bool

    @property
    def length(self) -> Instant:
        """How long, in microseconds."""
        return self.gap.length

    def words(self, home: Home) -> str:
        """How long, and from when to when."""
        if self.is_cut:
            since = near(home, self.gap.start, self.gap.end)
            return say(_CUT if self.goes_on else _SINCE).format(length=exact_span(self.length), start=since)
        start = near(home, self.gap.start, self.gap.end)
        end = near(home, self.gap.end, self.gap.start)
        return say(_FROM_TO).format(length=exact_span(self.length), start=start, end=end)


def unwritten(review: Review, now: Instant | None = None) -> list[Unwritten]:
    """All stretches without an entry that touch a period, but for those of which the record says why.

    The first entry after a period that is over ends the last one. Where there is none, or the period isn't
    over, it reaches to `now`; without it to the end of the last day that is past. Before the first entry
    there is nothing to tell of.
    """
    span, home = review.period, review.period.home
    times = sorted(row.time for row in review.held if row.time < span.judged)
    before = [each for each in review.times_around if each < span.start and span.start - each <= FARTHEST]
    if not times and not before:
        return []
    after, end = _after(review), _end(review, now)
    edges = [*before[-1:], *times] if after is None else [*before[-1:], *times, after]
    found = stretches(edges, span.start, end if after is None else None, review.absences)
    whole = Gap(edges[0], max(edges[-1], end))
    nights = list(nights_of(home, whole, night_of(review)))
    return [
        Unwritten(
            gap,
            span.place(max(gap.start, span.start)),
            is_by_night(gap, nights),
            after is None and gap.end == end,
            not span.is_finished,
        )
        for gap in found
        if gap.start < span.end
    ]


def _after(review: Review) -> Instant | None:
    """The first entry after a period that is over, as far as all that lies between is read."""
    span = review.period
    later = (each for each in review.times_around if span.end <= each <= span.end + FARTHEST)
    return next(later, None) if span.is_finished else None


def _end(review: Review, now: Instant | None) -> Instant:
    """Up to when nothing is known to have been written after the last entry."""
    span = review.period
    if span.is_finished:
        return max(span.end, min(now or span.end, span.end + FARTHEST))
    return now or span.starts[span.place(span.judged - 1)]


def longest(found: Iterable[Unwritten]) -> dict[bool, Unwritten]:
    """The longest stretch by day (False) and by night (True), where there is one."""
    kept: dict[bool, Unwritten] = {}
    for each in found:
        if each.is_by_night not in kept or each.length > kept[each.is_by_night].length:
            kept[each.is_by_night] = each
    return kept


def unwritten_words(review: Review) -> list[str]:
    """The longest stretch that begins on each day, by day and by night, as a cell of a sheet."""
    return [
        say(_DAY_NIGHT).format(day=_length(kept.get(False)), night=_length(kept.get(True))) if kept else words
        for kept, words in _by_day(review, unwritten(review))
    ]


def unwritten_lines(review: Review, now: Instant) -> Iterator[str]:
    """The same in words, a line a day."""
    home = review.period.home
    for kept, words in _by_day(review, unwritten(review, now)):
        told = [
            say(label).format(words=kept[by_night].words(home))
            for by_night, label in ((False, _BY_DAY), (True, _BY_NIGHT))
            if by_night in kept
        ]
        yield "; ".join(told) or words


def _length(found: Unwritten | None) -> str:
    if found is None:
        return _UNKNOWN
    words = exact_span(found.length)
    return say(_AT_LEAST).format(length=words) if found.is_cut else words


def _by_day(review: Review, found: Sequence[Unwritten]) -> Iterator[tuple[dict[bool, Unwritten], str]]:
    """The longest of each day, or where there is none the words that stand in their place."""
    for number in range(len(review.period.days)):
        absent = absent_word(review, number)
        kept = {} if absent else longest(each for each in found if each.day == number)
        is_past = review.period.starts[number] < review.period.judged
        is_within = any(each.gap.start < review.period.starts[number] < each.gap.end for each in found)
        yield kept, absent or (say(_NOTHING) if is_past and is_within else _UNKNOWN)
