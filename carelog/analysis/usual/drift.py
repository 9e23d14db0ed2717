"""The slow drift: the last two weeks against the first settled weeks, which a moving usual would swallow."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log, sqrt

from carelog.analysis.usual.channel import NOTHING, Sum
from carelog.analysis.usual.diary import KEPT_DAYS
from carelog.analysis.usual.learning import NEWEST_LEFT_OUT, Lessons
from carelog.analysis.usual.usual import Learnt, Rate, rate
from carelog.domain.moment import Instant

REFERENCE_DAYS = 28
LONGEST_REFERENCE = 42
RECENT_DAYS = 14
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
    return Recent(sum(sum(each.day.counts()[0]) for each in days) / held, held)


def drifted(found: Recent, reference: Rate) -> float:
    """How far the last two weeks lie above the reference, in standard deviations of the logarithm."""
    if found.mean <= 0:
        return 0.0
    daily = (1 / reference.mean + reference.spread) * reference.carried
    return log(found.mean / reference.mean) / sqrt(daily / found.days + daily / max(reference.days, 1.0))


@dataclass(slots=True)
class Drift:
    """Followed once a day: settles the first reference, then holds the last two weeks against it."""

    reference: Rate | None = None
    learnt: int = 0
    recent: Recent | None = None
    sum: Sum = NOTHING

    def restart(self) -> None:
        """Begin anew: what was before no longer counts."""
        self.reference, self.learnt, self.recent, self.sum = None, 0, None, NOTHING

    def follow(self, lessons: Lessons, today: int, now: Instant) -> None:
        """Work out how far the last two weeks lie above the reference."""
        restarted = lessons.restarted(today, "suction", now)
        start = max(-1 if restarted is None else restarted, today - KEPT_DAYS) + 1
        if self.learnt < LONGEST_REFERENCE:
            settled = lessons.days(range(start, today - NEWEST_LEFT_OUT), "suction")
            if len(settled) >= max(REFERENCE_DAYS, self.learnt):
                self.reference, self.learnt = rate(settled[:LONGEST_REFERENCE]), len(settled)
        if self.reference is None:
            return
        days = lessons.days(range(max(start, today - RECENT_DAYS), today), "suction")
        self.recent = recent(days, self.reference)
        value = drifted(self.recent, self.reference) if self.recent else 0.0
        first = lessons.diary.day(today - RECENT_DAYS).edges[0]
        self.sum = Sum(value, first, (value,)) if value > 0 else NOTHING
