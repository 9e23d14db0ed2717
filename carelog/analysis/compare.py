"""What is different from the three weeks before, in words with numbers; no statistic and no judgement.

How large a difference has to be to be printed is our own choice (common practice, no source).
"""

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import timedelta
from statistics import median

from carelog.analysis.absence import absences, touched_days
from carelog.analysis.in_force import Held
from carelog.analysis.recorded import is_care
from carelog.analysis.times import short_day
from carelog.analysis.week import Review, Shown
from carelog.domain.entry import Json
from carelog.domain.field import Choice, Field
from carelog.domain.field import Number as NumberField
from carelog.domain.kind import Draw, Kind
from carelog.domain.units import exact, plain
from carelog.kinds import ALL
from carelog.text import mark, say

DAYS_BEFORE = 21
LEAST_DAYS = 7
LEAST_SHARE = 0.15
LEAST_BEFORE = 5

_ABOVE = mark("{kind}: {days}; {range} a day in the three weeks before")
_ON = mark("{count} on {day}")
_SHARE = mark("{here} (before {before})")
_SHARES = mark("{here} (each {before} before)")
_FOUND = mark("{kind}: {parts}")
_OUTSIDE = mark("{kind} outside the limits: {count} of {all}; before, {count_before} of {all_before}")
_MIDDLE = mark("{kind}, {field}: {low} to {high} {unit}; before, {low_before} to {high_before} {unit}")
_NO_DAYS = mark("The 21 days before hold no entries to compare with.")
_FEW = mark("Only {count} of the 21 days before were recorded: too few to compare with.")


class Before:
    """The three weeks before a period: the recorded days, and the entries in force.

    Days that a stay or a gap touches are left out, here and in the period.
    """

    def __init__(self, review: Review) -> None:
        home, first = review.period.home, review.period.days[0]
        days = [first - timedelta(days=n) for n in range(DAYS_BEFORE, 0, -1)]
        starts = [home.start_of(day) for day in days]
        touched = touched_days(home, absences(review.reading), days)
        self._by_kind: dict[str, list[Held]] = {}
        self._counts: dict[str, Counter[int]] = {}
        self.days: set[int] = set()
        whole = review.reading.held
        low = bisect_left(whole, starts[0], key=lambda held: held.time)
        high = bisect_left(whole, review.period.start, key=lambda held: held.time)
        for held in whole[low:high]:
            day = bisect_right(starts, held.time)
            if days[day - 1] in touched:
                continue
            if is_care(held.entry.kind):
                self.days.add(day)
            self._by_kind.setdefault(held.entry.kind, []).append(held)
            self._counts.setdefault(held.entry.kind, Counter())[day] += 1

    def of(self, kind: str) -> Sequence[Held]:
        """The entries of a kind."""
        return self._by_kind.get(kind, ())

    def counts(self, kind: str) -> list[int]:
        """How many entries of a kind there were on each recorded day."""
        found = self._counts.get(kind, Counter())
        return sorted(found[day] for day in self.days)


def band(counts: Sequence[int]) -> tuple[int, int] | None:
    """The least and the most a day; None for too few days."""
    return (min(counts), max(counts)) if len(counts) >= LEAST_DAYS else None


def differences(review: Review, past: Before) -> list[str]:
    """What is different from the three weeks before, one sentence each."""
    if len(past.days) < LEAST_DAYS:
        return [say(_FEW).format(count=len(past.days)) if past.days else say(_NO_DAYS)]
    found: list[str] = []
    for kind in sorted(ALL, key=lambda kind: kind.draw is not Draw.COUNT):
        if kind.draw is Draw.SETTING:
            continue
        now = [row.held for row in _rows(review, kind) if row.held]
        then = past.of(kind.name)
        if kind.draw in (Draw.COUNT, Draw.DOINGS):
            found += _counts(review, past, kind, now)
        if kind.draw is Draw.READINGS:
            found += _readings(review, kind, now, then)
        if kind.draw is not Draw.READINGS:
            found += _findings(kind, now, then)
    return found


def _rows(review: Review, kind: Kind) -> list[Shown]:
    """The period's entries of a kind, but for days that a stay or a gap touches."""
    return [row for row in review.of(kind.name) if row.day not in review.absent]


def _counts(review: Review, past: Before, kind: Kind, now: Sequence[Held]) -> Iterator[str]:
    counts, period = past.counts(kind.name), review.period
    found = band(counts)
    if found is None or (not now and not any(counts)):
        return
    low, high = found
    today = Counter(row.day for row in _rows(review, kind))
    ends = (*period.starts[1:], period.end)
    other = [
        day
        for day, end in enumerate(ends)
        if day not in review.absent and (today[day] > high or (end <= period.judged and today[day] < low))
    ]
    if not other or (high == 0 and len(other) == 1):
        return
    days = ", ".join(say(_ON).format(count=today[day], day=short_day(period.days[day])) for day in other)
    yield say(_ABOVE).format(kind=say(kind.title), days=days, range=between(low, high))


def between(low: int, high: int) -> str:
    """8 to 10, or 8."""
    return str(low) if low == high else say(mark("{low} to {high}")).format(low=low, high=high)


def _findings(kind: Kind, now: Sequence[Held], then: Sequence[Held]) -> Iterator[str]:
    """What was found more often than before, or for the first time, in one sentence a kind."""
    found: dict[str, list[str]] = {}
    for field in kind.fields:
        if isinstance(field.type, Choice):
            for here, before_that in _shares(field, now, then):
                found.setdefault(before_that, []).append(here)
    parts = [
        say(_SHARE if len(same) == 1 else _SHARES).format(here=", ".join(same), before=before_that)
        for before_that, same in found.items()
    ]
    if parts:
        yield say(_FOUND).format(kind=say(kind.title), parts="; ".join(parts))


def _shares(each: Field, now: Sequence[Held], then: Sequence[Held]) -> Iterator[tuple[str, str]]:
    here, there = _given(now, each.name), _given(then, each.name)
    all_here, all_there = sum(here.values()), sum(there.values())
    if not all_here or all_there < LEAST_BEFORE:
        return
    for value, count in here.items():
        share, share_before = count / all_here, there[value] / all_there
        if share - share_before < LEAST_SHARE and there[value]:
            continue
        words = f"{say(each.label)} {each.type.words(value)}".strip()
        yield f"{words} {_of(count, all_here)}", _of(there[value], all_there)


def _of(count: int, whole: int) -> str:
    return say(mark("{count} of {all}")).format(count=count, all=whole)


def _given(held: Iterable[Held], name: str) -> Counter[Json]:
    values = [each.entry.details[name] for each in held if name in each.entry.details]
    return Counter(value for value in values if isinstance(value, str))


def _readings(review: Review, kind: Kind, now: Sequence[Held], then: Sequence[Held]) -> Iterator[str]:
    here = sum(bool(row.outside) for row in _rows(review, kind))
    there = sum(bool(review.judging.outside(each)) for each in then)
    if here and then:
        yield say(_OUTSIDE).format(
            kind=say(kind.title), count=here, all=len(now), count_before=there, all_before=len(then)
        )
    for each in kind.fields:
        if isinstance(each.type, NumberField) and not each.type.unit_field:
            yield from _middle(kind, each, now, then)


def _middle(kind: Kind, each: Field, now: Sequence[Held], then: Sequence[Held]) -> Iterator[str]:
    assert isinstance(each.type, NumberField)
    here = sorted(held.entry.details[each.name] for held in now if each.name in held.entry.details)
    there = sorted(held.entry.details[each.name] for held in then if each.name in held.entry.details)
    if not here or len(there) < LEAST_BEFORE or there[0] <= median(map(exact, here)) <= there[-1]:
        return
    yield say(_MIDDLE).format(
        kind=say(kind.title),
        field=say(each.label),
        low=plain(here[0]),
        high=plain(here[-1]),
        unit=say(each.type.unit),
        low_before=plain(there[0]),
        high_before=plain(there[-1]),
    )
