"""The slow drift: the last two weeks against the first settled weeks, which a moving usual would swallow."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log, sqrt

from carelog.analysis.usual.channel import NOTHING, Sum
from carelog.analysis.usual.diary import NEVER, REFERENCE_SPAN
from carelog.analysis.usual.learning import NEWEST_LEFT_OUT, Lessons
from carelog.analysis.usual.usual import Learnt, Rate, rate
from carelog.domain.moment import Instant

REFERENCE_DAYS = 28
LONGEST_REFERENCE = 42
RECENT_DAYS = 14
RISES_APART = 28
RISES_FOR = 7
LEAST_RECENT = 9.0  # recorded days' worth of the last 14


@dataclass(frozen=True, slots=True)
class Recent:
    """The last two weeks: suctions a day and recorded days' worth."""

    mean: float
    days: float


def recent(days: Sequence[Learnt], reference: Rate) -> Recent | None:
    """The last two weeks held against the reference's times of day, or None with too little recorded."""
    held = sum(
        share * part for each in days for share, part in zip(reference.shares, each.covered, strict=True)
    )
    if held < LEAST_RECENT:
        return None
    return Recent(sum(sum(each.day.suctions) for each in days) / held, held)


def drifted(found: Recent, reference: Rate) -> float:
    """How far the last two weeks lie above the reference, in standard deviations of the logarithm."""
    if found.mean <= 0:
        return 0.0
    daily = (1 / reference.mean + reference.spread) * reference.carried
    return log(found.mean / reference.mean) / sqrt(daily / found.days + daily / max(reference.days, 1.0))


@dataclass(slots=True)
class Drift:
    """Followed once a day: holds the last two weeks against the first settled weeks since the last restart.

    It rises when it stands above its threshold for the first time in `RISES_APART` days: what has stayed is
    told once.
    """

    start: int | None = None
    reference: Rate | None = None
    learnt: int = 0  # days of the reference
    recent: Recent | None = None
    sum: Sum = NOTHING
    last_above: int = -NEVER
    rise: int = -NEVER

    def forget(self) -> None:
        """Work the reference out anew: days that it is learnt from, or may be, look different now."""
        self.reference, self.learnt = None, 0

    def follow(self, lessons: Lessons, today: int, now: Instant) -> None:
        """Work out how far the last two weeks lie above the reference."""
        start = lessons.diary.reference_start(now + 1)
        if start != self.start:
            self.forget()
            self.start, self.last_above, self.rise = start, -NEVER, -NEVER
        self.recent, self.sum = None, NOTHING
        if start is None:
            return
        if self.learnt < LONGEST_REFERENCE:
            self._settle(_settled(lessons, start, today))
        if self.reference is None:
            return
        recorded = lessons.diary.recorded_between(max(start, today - RECENT_DAYS), today)
        self.recent = recent(lessons.days(recorded), self.reference)
        value = drifted(self.recent, self.reference) if self.recent else 0.0
        first = lessons.diary.day(today - RECENT_DAYS).edges[0]
        self.sum = Sum(value, first, (value,)) if value > 0 else NOTHING

    def _settle(self, days: Sequence[Learnt]) -> None:
        """Learn the reference from the first days, where there are enough and more than before."""
        if len(days) >= REFERENCE_DAYS and len(days) != self.learnt:
            self.reference, self.learnt = rate(days), len(days)

    def look(self, threshold: float, today: int) -> None:
        """Note whether it stands above its threshold today."""
        if self.sum.value >= threshold:
            if today - self.last_above > RISES_APART:
                self.rise = today
            self.last_above = today

    def is_rising(self, today: int) -> bool:
        """Whether it has risen so lately that this is still told."""
        return today - self.rise < RISES_FOR and self.last_above == today


def _settled(lessons: Lessons, start: int, today: int) -> Sequence[Learnt]:
    """The first days of a reference, without the newest."""
    recorded = lessons.diary.recorded_between(start, min(start + REFERENCE_SPAN, today - NEWEST_LEFT_OUT))
    return lessons.days(recorded)[:LONGEST_REFERENCE]
