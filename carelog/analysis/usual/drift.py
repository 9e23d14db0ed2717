"""The slow drift: the last two weeks against the first settled weeks, which a moving usual would swallow."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log, sqrt

from carelog.analysis.usual.usual import Learnt, Rate, rate

REFERENCE_DAYS = 28
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
    daily = 1 / reference.mean + reference.spread
    return log(found.mean / reference.mean) / sqrt(daily / found.days + daily / max(reference.days, 1.0))


def reference_of(days: Sequence[Learnt]) -> Rate:
    """The first settled reference."""
    return rate(days)
