"""What is different from the three weeks before, in words with numbers; no statistic and no judgement.

How large a difference has to be to be printed is our own choice (common practice, no source).
"""

from bisect import bisect_left, bisect_right
from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction

from carelog.analysis.absence import absences, touched_days
from carelog.analysis.between import between
from carelog.analysis.gaps import LONG
from carelog.analysis.in_force import Held
from carelog.analysis.limits import READ
from carelog.analysis.recorded import is_care
from carelog.analysis.times import short_day
from carelog.analysis.week import Review, Shown
from carelog.domain.entry import Json
from carelog.domain.field import Choice, Field
from carelog.domain.field import Number as NumberField
from carelog.domain.kind import Draw, Kind
from carelog.domain.units import exact, plain, with_unit
from carelog.kinds import ALL
from carelog.text import mark, say

DAYS_BEFORE = 21
LEAST_DAYS = 7
LEAST_SHARE = 0.15
LEAST_BEFORE = 5
BEYOND = Fraction(1, 4)  # of the range of before

MOST_NAMED = 2  # days that are told one by one

_ON = mark("{count} on {day}")
_A_DAY = mark("{here} (before {before})")
_DAYS = mark("{range} a day on {count} days")
_BEFORE = mark("{here} (before {before})")
_OF = mark("{count} of {all}")
_OUTSIDE = mark("{kind} outside the limits")
_ALONE = mark("{here}; too few before to compare")
_TITLE = mark("{kind}, {what}")
_TO = mark("{low} to {high}")
_SILENT = mark("Not compared, since nothing at all was recorded: {days}.")
_ABSENT = mark("Not compared, since away or not written down: {days}.")
_NO_DAYS = mark("The 21 days before hold no entries to compare with.")
_FEW = mark("Only {count} of the 21 days before were recorded: too few to compare with.")
Ends = tuple[Fraction, Fraction]
"""The least and the most of something."""


@dataclass(frozen=True, slots=True)
class Unlike:
    """One thing that is different: what, in words, and the ends of these days and of those before.

    The ends are of one measure, which only `whole` makes comparable with others: counts a day against the
    most of all, shares against 1, readings against the whole range. `before` is None where too little is
    there to compare with.
    """

    title: str
    words: str
    here: Ends
    before: Ends | None
    whole: Ends

    @property
    def sentence(self) -> str:
        """All of it in words."""
        return f"{self.title}: {self.words}"

    def parts(self, ends: Ends) -> tuple[float, float]:
        """Ends as parts of the whole, from 0 to 1."""
        low, high = self.whole
        length = (high - low) or Fraction(1)
        return float((ends[0] - low) / length), float((ends[1] - low) / length)

    @property
    def size(self) -> float:
        """How far these days lie from those before, as a part of the whole."""
        if self.before is None:
            return 0.0
        here, before = self.parts(self.here), self.parts(self.before)
        return max(abs(one - other) for one, other in zip(here, before, strict=True))


class WeeksBefore:
    """The three weeks before a period: the recorded days, and the entries in force.

    Days that a stay or a gap touches are left out, here and in the period.
    """

    def __init__(self, review: Review) -> None:
        home, first = review.period.home, review.period.days[0]
        days = [first - timedelta(days=n) for n in range(DAYS_BEFORE, 0, -1)]
        starts = [home.start_of(day) for day in days]
        touched = touched_days(home, absences(review.reading), days)
        self._by_kind = defaultdict[str, list[Held]](list)
        self._counts = defaultdict[str, Counter[int]](Counter)
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
            self._by_kind[held.entry.kind].append(held)
            self._counts[held.entry.kind][day] += 1

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


def too_few(past: WeeksBefore) -> str:
    """Why nothing can be compared; empty when it can."""
    if len(past.days) >= LEAST_DAYS:
        return ""
    return say(_FEW).format(count=len(past.days)) if past.days else say(_NO_DAYS)


def differences(review: Review, past: WeeksBefore) -> list[Unlike]:
    """What is different from the three weeks before; nothing where too few of their days were recorded."""
    if too_few(past):
        return []
    found: list[Unlike] = []
    for kind in sorted(ALL, key=lambda kind: kind.draw is not Draw.COUNT):
        if kind.draw is Draw.SETTING:
            continue
        now = [row.held for row in _rows(review, kind) if row.held]
        then = past.of(kind.name)
        if kind.draw in (Draw.COUNT, Draw.DOINGS):
            found += _counts(review, past, kind, now)
        if kind.draw is Draw.READINGS:
            found += _readings(review, kind, now, then)
        if kind.is_care and kind.draw is not Draw.READINGS:
            found += _findings(kind, now, then)
    return found


def _rows(review: Review, kind: Kind) -> list[Shown]:
    """The period's entries of a kind, but for days that a stay or a gap touches."""
    return [row for row in review.of(kind.name) if row.day not in review.absent]


def not_compared(review: Review) -> str:
    """The days that take no part, and why: nothing at all was written down, or a stay or a gap."""
    days = [short_day(review.period.days[day]) for day in sorted(review.silent - review.absent.keys())]
    away = [short_day(review.period.days[day]) for day in sorted(review.absent)]
    lines = [(_SILENT, days), (_ABSENT, away)]
    return " ".join(say(words).format(days=", ".join(found)) for words, found in lines if found)


def _counts(review: Review, past: WeeksBefore, kind: Kind, now: Sequence[Held]) -> Iterator[Unlike]:
    counts, period = past.counts(kind.name), review.period
    found = band(counts)
    if found is None or (not now and not any(counts)):
        return
    low, high = found
    today = Counter(row.day for row in _rows(review, kind))
    unknown = review.absent.keys() | review.silent
    other = [
        day
        for day in range(len(period.days))
        if day not in unknown and (today[day] > high or (today[day] < low and is_whole(review, day)))
    ]
    if not other or (high == 0 and len(other) == 1):
        return
    here = [today[day] for day in other]
    named = ", ".join(say(_ON).format(count=today[day], day=short_day(period.days[day])) for day in other)
    many = say(_DAYS).format(range=between(min(here), max(here)), count=len(other))
    words = say(_A_DAY).format(here=named if len(other) <= MOST_NAMED else many, before=between(low, high))
    yield Unlike(
        say(kind.title),
        words,
        (Fraction(min(here)), Fraction(max(here))),
        (Fraction(low), Fraction(high)),
        (Fraction(0), Fraction(max(high, *here, 1))),
    )


def is_whole(review: Review, day: int) -> bool:
    """Whether a day is past, and written down throughout: else fewer isn't less, but unknown."""
    ends = (*review.period.starts[1:], review.period.end)
    start, end = review.period.starts[day], ends[day]
    silent = sum(max(0, min(gap.end, end) - max(gap.start, start)) for gap in review.silences)
    return end <= review.period.judged and silent < LONG and day not in review.absent


def _findings(kind: Kind, now: Sequence[Held], then: Sequence[Held]) -> Iterator[Unlike]:
    """What was found more often than before, or for the first time; another unit is no finding."""
    units = {each.type.unit_field for each in kind.fields if isinstance(each.type, NumberField)}
    for each in kind.fields:
        if isinstance(each.type, Choice) and each.name not in units:
            yield from _shares(kind, each, now, then)


def _shares(kind: Kind, each: Field, now: Sequence[Held], then: Sequence[Held]) -> Iterator[Unlike]:
    here = _given(now, each.name)
    if not here:
        return
    there = _given(then, each.name)
    all_here, all_there = here.total(), there.total()
    if all_there < LEAST_BEFORE:
        return
    for value, count in here.items():
        share, share_before = Fraction(count, all_here), Fraction(there[value], all_there)
        if share - share_before < LEAST_SHARE and there[value]:
            continue
        words = f"{say(each.label)} {each.type.words(value)}".strip()
        yield Unlike(
            say(_TITLE).format(kind=say(kind.title), what=words),
            say(_BEFORE).format(here=_of(count, all_here), before=_of(there[value], all_there)),
            (Fraction(0), share),
            (Fraction(0), share_before),
            (Fraction(0), Fraction(1)),
        )


def _of(count: int, whole: int) -> str:
    return say(_OF).format(count=count, all=whole)


def _given(held: Iterable[Held], name: str) -> Counter[Json]:
    values = [each.entry.details[name] for each in held if name in each.entry.details]
    return Counter(value for value in values if isinstance(value, str))


def _readings(review: Review, kind: Kind, now: Sequence[Held], then: Sequence[Held]) -> Iterator[Unlike]:
    here = sum(bool(row.outside) for row in _rows(review, kind))
    there = sum(bool(review.judging.outside(each)) for each in then)
    if here and then:
        yield Unlike(
            say(_OUTSIDE).format(kind=say(kind.title)),
            say(_BEFORE).format(here=_of(here, len(now)), before=_of(there, len(then))),
            (Fraction(0), Fraction(here, len(now))),
            (Fraction(0), Fraction(there, len(then))),
            (Fraction(0), Fraction(1)),
        )
    has_no_limit = {name for name in READ.get(kind.name, {}) if now and not _has_limit(review, now[-1], name)}
    yield from _extremes(kind, now, then, has_no_limit)


def _has_limit(review: Review, held: Held, field: str) -> bool:
    return review.judging.against(held).limit(READ[held.entry.kind][field]) is not None


def _extremes(
    kind: Kind, now: Sequence[Held], then: Sequence[Held], has_no_limit: Collection[str]
) -> Iterator[Unlike]:
    """The lowest and the highest reading, where they lie beyond those of before.

    Or where there are too few of those and no limit that would mark them either.
    """
    for each in kind.fields:
        if not isinstance(each.type, NumberField) or each.type.unit_field:
            continue
        here, there = _values(now, each.name), _values(then, each.name)
        unit = say(each.type.unit)
        is_alone = len(there) < LEAST_BEFORE
        if (
            not here
            or (is_alone and each.name not in has_no_limit)
            or not (is_alone or _is_beyond(here, there))
        ):
            continue
        said = _range(here, unit)
        words = (
            say(_ALONE).format(here=said)
            if is_alone
            else say(_BEFORE).format(here=said, before=_range(there, unit))
        )
        both = here if is_alone else [*here, *there]
        label = say(each.label)
        yield Unlike(
            f"{label[:1].upper()}{label[1:]}",
            words,
            (here[0], here[-1]),
            None if is_alone else (there[0], there[-1]),
            (min(both), max(both)),
        )


def _values(held: Iterable[Held], name: str) -> list[Fraction]:
    return sorted(exact(each.entry.details[name]) for each in held if name in each.entry.details)


def _is_beyond(here: Sequence[Fraction], there: Sequence[Fraction]) -> bool:
    """Whether a reading lies farther outside the range of before than a quarter of that range."""
    margin = (there[-1] - there[0]) * BEYOND
    return here[-1] > there[-1] + margin or here[0] < there[0] - margin


def _range(values: Sequence[Fraction], unit: str) -> str:
    if not values:
        return ""
    low, high = values[0], with_unit(values[-1], unit)
    return high if values[-1] == low else say(_TO).format(low=plain(low), high=high)
