"""The usual of each day, from the recorded days before it but for those that stand out by themselves.

A day stands out where a week or less of days with it speaks as strongly for a change as a flag would, held
against the usual of its own time, learnt from all days alike. That is read off the days, never off flags: so
what is usual depends on a bounded past alone. What stays is learnt in the end.
"""

from bisect import bisect_left
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from carelog.analysis.usual.channel import CHANNELS
from carelog.analysis.usual.day import BLOCKS
from carelog.analysis.usual.diary import NEVER, Diary
from carelog.analysis.usual.evidence import Evidence, RatedSoFar
from carelog.analysis.usual.learning import FAR_FUTURE, FIRST_JUDGED, HORIZON, Lessons
from carelog.analysis.usual.usual import Groups, Learning, Pattern, Usual, usual
from carelog.domain.moment import Instant
from carelog.domain.turn import give_way

NEW_RATER_DAYS = 10
APART_SPAN = 7  # recorded days
STANDS_OUT = 6.0  # natural logarithm: about what raises a flag
APART_CHANNELS = tuple(c for c in CHANNELS if c.name in ("infection", "more", "many_more", "drying", "blood"))

SILENT = (0.0,) * len(APART_CHANNELS)
Speaks = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Taught:
    """What is usual, and the days it was learnt from, by group."""

    days: tuple[tuple[int, ...], ...]
    usual: Usual


class Usuals:
    """Works the usual out from the diary; what is kept is only what the diary would give again."""

    def __init__(self, diary: Diary) -> None:
        self.diary = diary
        self.lessons = Lessons(diary)
        self._learning = Learning()
        self._plain: dict[int, Pattern] = {}
        self._taught: dict[int, Taught] = {}
        self._sure: dict[int, Usual] = {}
        self._speaks: dict[int, Speaks] = {}
        self._firsts: dict[int, Mapping[str, int]] = {}
        self._said: RatedSoFar | None = None  # of a day that isn't over
        self._reach: dict[int, int] = {}

    def forget_from(self, ordinal: int, flipped: int) -> None:
        """Work out anew what may look different since a day, or since one that became recorded."""
        for kept in (self._plain, self._taught):
            for day in list(kept):
                if day > flipped or (day > ordinal and self._reach[day] >= ordinal - 1):
                    del kept[day]
        for day in [each for each in self._sure if each > ordinal]:
            del self._sure[day]
        for day in [each for each in self._firsts if each > ordinal]:
            del self._firsts[day]
        if self._said is not None and self._said.day.ordinal > ordinal:
            self._said = None
        for day in [each for each in self._speaks if each >= ordinal]:
            del self._speaks[day]

    def prune(self, oldest: int) -> None:
        """Let go of what only days before one needed."""
        for calm in (self._sure, self._taught, self._plain):
            for day in [each for each in calm if each < oldest]:
                del calm[day]
        needed = self._looked_at(oldest)
        first = needed[0] if needed else oldest
        for kept in (self._speaks, self._firsts, self._reach):
            for day in [each for each in kept if each < first]:
                del kept[day]

    def of(self, ordinal: int, now: Instant) -> Usual:
        """The usual of a day."""
        found = self._sure.get(ordinal)
        if found is None:
            found = self._sure[ordinal] = self._learn(ordinal, now)
        return found

    def _learn(self, ordinal: int, now: Instant) -> Usual:
        """From the days that don't stand out: which ones may be others once the day before is over."""
        apart = self.apart(ordinal, now)
        lessons = self.lessons.of(ordinal, now, apart)
        days = tuple(tuple(each.day.ordinal for each in group) for group in lessons.values())
        kept = self._taught.get(ordinal)
        if kept is None or kept.days != days:
            plain = self._plain_pattern(ordinal, now)
            pattern = self._learning.pattern(lessons) if apart else plain
            kept = self._taught[ordinal] = Taught(days, usual(pattern, lessons, self.diary.losses))
            self._reach[ordinal] = max(self._reach[ordinal], _newest(lessons))
        return kept.usual

    def _plain_pattern(self, ordinal: int, now: Instant) -> Pattern:
        """The pattern of a day, learnt from all days alike."""
        found = self._plain.get(ordinal)
        if found is None:
            give_way()
            lessons = self.lessons.of(ordinal, now)
            found = self._plain[ordinal] = self._learning.pattern(lessons)
            self._reach[ordinal] = _newest(lessons)
        return found

    def _looked_at(self, ordinal: int) -> Sequence[int]:
        """The recorded days before a day whose standing out matters to its usual."""
        end = bisect_left(self.diary.recorded, ordinal)
        return self.diary.recorded[max(0, end - HORIZON - APART_SPAN + 1) : end]

    def apart(self, ordinal: int, now: Instant) -> frozenset[int]:
        """The days before a day that stand out."""
        days = self._looked_at(ordinal)
        speaks = [self._speak(day, now) for day in days]
        found: set[int] = set()
        for values in zip(*speaks, strict=True):
            found |= {days[place] for place in standing_out(values)}
        return frozenset(found)

    def _speak(self, ordinal: int, now: Instant) -> Speaks:
        """How strongly a whole day speaks for a change, channel by channel, against its plain pattern."""
        found = self._speaks.get(ordinal)
        if found is None:
            found = self._speaks[ordinal] = self._spoken(ordinal, now)
        return found

    def _spoken(self, ordinal: int, now: Instant) -> Speaks:
        day = self.diary.day(ordinal)
        if not self.is_judged(ordinal) or (self.diary.away and self.diary.is_away(day)):
            return SILENT
        parts = self.evidence(ordinal, self._plain_pattern(ordinal, now), FAR_FUTURE, now).parts
        return tuple(sum(weight * parts[name][0] for name, weight in c.parts) for c in APART_CHANNELS)

    def evidence(self, ordinal: int, known: Pattern, until: Instant, now: Instant) -> Evidence:
        """What a day says, as far as it has come until a moment, held against a pattern."""
        day = self.diary.day(ordinal)
        blocks = BLOCKS if until >= day.edges[-1] else day.block(until) + 1
        covered, blind = self.diary.covered(day, until), self.lessons.blind(ordinal, now)
        said = self._said
        if said is None or not said.goes_on(day, known.habits, blind):
            said = RatedSoFar(day, known.habits, self.is_new_on(ordinal), blind)
            if until < day.edges[-1]:
                self._said = said
        return Evidence(day, known.rate, said.parts(), covered, blind, blocks)

    def is_judged(self, ordinal: int) -> bool:
        """Whether the day is the 14th recorded one or later."""
        return self.diary.recorded_days(ordinal) >= FIRST_JUDGED

    def is_new_on(self, ordinal: int) -> Callable[[str], bool]:
        """Tells who is new on a day: rated first within ten days, others 14 days before them.

        Looked for among the days that a usual may be learnt from: who was away for so long is new again.
        """
        firsts = self._firsts.get(ordinal)
        if firsts is None:
            firsts = self._firsts[ordinal] = self._first_ratings(ordinal)
        start = min(firsts.values(), default=ordinal)

        def is_new(recorder: str) -> bool:
            first = firsts.get(recorder, ordinal)
            return first > start + FIRST_JUDGED and ordinal - first < NEW_RATER_DAYS

        return is_new

    def _first_ratings(self, ordinal: int) -> Mapping[str, int]:
        found: dict[str, int] = {}
        for each in self.lessons.before(ordinal):
            for recorder in self.diary.days[each].raters():
                found.setdefault(recorder, each)
        return found


def _newest(lessons: Groups) -> int:
    return max((days[-1].day.ordinal for days in lessons.values() if days), default=-NEVER)


def standing_out(values: Sequence[float]) -> set[int]:
    """The places that speak for a change within a span that does so strongly enough."""
    found: set[int] = set()
    if not is_ever(values):
        return found
    for first in range(len(values)):
        total = 0.0
        for last in range(first, min(first + APART_SPAN, len(values))):
            total += values[last]
            if total >= STANDS_OUT:
                found.update(place for place in range(first, last + 1) if values[place] > 0)
    return found


def is_ever(values: Iterable[float]) -> bool:
    """Whether any span, however long, speaks strongly enough for a change."""
    total = 0.0
    for value in values:
        total = max(0.0, total + value)
        if total >= STANDS_OUT:
            return True
    return False
