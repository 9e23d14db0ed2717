"""The usual of one person on one day: how many, when, how thick, what colour, how tight the cuff."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from operator import mul
from statistics import median
from typing import NamedTuple

from carelog.analysis.usual.day import BLOCKS, Day, Loss
from carelog.analysis.usual.habit import Habit, habit
from carelog.analysis.usual.likelihood import count_spread
from carelog.analysis.usual.measure import MEASURES, UsualReading, usual_reading
from carelog.analysis.usual.scale import SCALES, SOURCE
from carelog.analysis.usual.tally import Given, RatingTallies, RatingTally

PRIOR_SHARES = (0.14, 0.30, 0.30, 0.26)
SHARES_WEIGHT = 12.0
PRIOR_SPREAD = 0.12
SPREAD_WEIGHT = 10.0
LEAST_SPREAD = 0.01
MOST_SPREAD = 1.0
LEAST_MEAN = 0.5
LEAST_LOSSES = 8
LEAST_LOSS_SD = 0.08  # cmH2O an hour
LEAST_ADJUSTED = 0.15  # of all readings say what was left
CARRIED_WEIGHT = 25.0
LARGEST_AWAY = 3.0
GAUGE = 1.0  # cmH2O, what a gauge is read to
NORMAL_MAD = 1.4826
TALLIED = {"secretions": ("thickness", "colour", "amount", "blood"), "inner_tube": ("found",)}
"""What is rated, by the group that it is learnt with."""


class Learnt(NamedTuple):
    """A day that is learnt from: what share of each time of day was recorded, and the weight it has."""

    day: Day
    covered: Sequence[float]
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Rate:
    """Suctions a fully recorded day; `spread`: the day effect's variance, `error`: the mean's own.

    `carried`: by how much less several days say because one day's effect goes on into the next.
    """

    mean: float
    shares: tuple[float, ...]
    spread: float
    error: float
    days: float
    clockwork: tuple[float, ...]
    carried: float = 1.0

    def band(self) -> tuple[int, int]:
        """The range of suctions in which about two of three fully recorded days lie."""
        off = count_spread(self.mean, self.spread)
        return max(0, round(self.mean - off)), round(self.mean + off)


@dataclass(frozen=True, slots=True)
class CuffUsual:
    """The usual loss of the cuff in cmH2O an hour, its median and a robust standard deviation.

    Where hardly anybody says what was left after adjusting, losses can't be known: then the same of the
    pressure as found, in cmH2O (`is_by_level`).
    """

    median: float
    sd: float
    count: int
    is_by_level: bool

    def deviation(self, loss: Loss) -> float:
        """How far a reading speaks for a leak, in standard deviations no finer than the gauge is read to."""
        if self.is_by_level:
            return (self.median - loss.found) / max(self.sd, GAUGE)
        return (loss.rate - self.median) / max(self.sd, GAUGE / loss.hours)


@dataclass(frozen=True, slots=True)
class Pattern:
    """How many suctions are usual on one day, and how what they bring is rated."""

    rate: Rate
    habits: Mapping[str, Habit]


@dataclass(frozen=True, slots=True)
class Usual(Pattern):
    """All that is usual on one day; `cuff` is None, a reading absent, before there are enough of them."""

    cuff: CuffUsual | None
    readings: Mapping[str, UsualReading]


def rate(learnt: Sequence[Learnt]) -> Rate:
    """The usual count from days learnt from, the four times of day shrunk together."""
    weights = [each.weight for each in learnt]
    counts = _by_block([each.day.suctions for each in learnt], weights)
    clocks = _by_block([each.day.clockwork for each in learnt], weights)
    held = _by_block([each.covered for each in learnt], weights)
    full = max(sum(held) / BLOCKS, 1e-9)
    per_block = [
        (n + SHARES_WEIGHT * p) / (h + SHARES_WEIGHT * full / max(sum(counts), 1.0))
        for n, p, h in zip(counts, PRIOR_SHARES, held, strict=True)
    ]
    whole = sum(per_block)
    shares = tuple(each / whole for each in per_block)
    exposure = sum(map(mul, shares, held))
    mean = max(sum(counts) / max(exposure, 1e-9), LEAST_MEAN)
    seen = [(each, sum(each.day.suctions), mean * sum(map(mul, shares, each.covered))) for each in learnt]
    seen = [each for each in seen if each[-1] > 0]
    spread = _spread(seen)
    error = sqrt((1 / mean + spread) / max(exposure, 0.5))
    by_clock = tuple(n / max(h, 1e-9) if h > 0 else 0.0 for n, h in zip(clocks, held, strict=True))
    carried = _carried(seen)
    return Rate(mean, shares, spread, error * sqrt(carried), exposure, by_clock, carried)


def _by_block(days: Sequence[Sequence[float]], weights: Sequence[float]) -> Sequence[float]:
    """The weighted sums over the days, of each time of day."""
    return [sum(map(mul, weights, column)) for column in zip(*days, strict=True)] or [0.0] * BLOCKS


Seen = Sequence[tuple[Learnt, int, float]]
"""Days learnt from, each with how many suctions it had and how many were expected: not none."""


def _carried(seen: Seen) -> float:
    """By how much less several days say than as many apart, where one day's effect goes on into the next.

    (1 + r) / (1 - r) of the correlation of neighbouring days, shrunk to none; never below 1.
    """
    off: dict[int, float] = {}
    for each, count, expected in seen:
        away = (count - expected) / count_spread(expected, PRIOR_SPREAD)
        off[each.day.ordinal] = min(max(away, -LARGEST_AWAY), LARGEST_AWAY)
    pairs = [(away, off[day + 1]) for day, away in off.items() if day + 1 in off]
    squares = sum([a * a + b * b for a, b in pairs]) / 2
    if squares <= 0:
        return 1.0
    alike = sum([a * b for a, b in pairs]) / squares * len(pairs) / (len(pairs) + CARRIED_WEIGHT)
    return max(1.0, (1 + alike) / (1 - alike))


def _spread(seen: Seen) -> float:
    """The variance of the day's effect by moments, shrunk to what is believed at first."""
    excess = weight = believed = 0.0
    for each, count, expected in seen:
        off = count - expected
        excess += each.weight * (min(off * off, 16.0 * (expected + 0.15 * expected**2)) - expected)
        weight += each.weight * expected * expected
        believed += each.weight
    typical = weight / max(believed, 1e-9)
    whole = weight + SPREAD_WEIGHT * typical
    found = (excess + PRIOR_SPREAD * SPREAD_WEIGHT * typical) / whole if whole else PRIOR_SPREAD
    return min(max(found, LEAST_SPREAD), MOST_SPREAD)


def cuff_usual(losses: Sequence[Loss]) -> CuffUsual | None:
    """The usual loss, robust to wrong readings."""
    if len(losses) < LEAST_LOSSES:
        return None
    is_by_level = sum(loss.is_after_adjusting for loss in losses) < LEAST_ADJUSTED * len(losses)
    values = [loss.found if is_by_level else loss.rate for loss in losses]
    middle = median(values)
    sd = NORMAL_MAD * median(abs(value - middle) for value in values)
    return CuffUsual(middle, max(sd, LEAST_LOSS_SD), len(losses), is_by_level)


Groups = Mapping[str, Sequence[Learnt]]
"""The days learnt from, by group: one that was restarted learns from other days."""


class Learning:
    """Learns what is usual from days; their tallies go on from one usual to the next."""

    def __init__(self) -> None:
        self._tallies = {group: RatingTallies(scales) for group, scales in TALLIED.items()}

    def pattern(self, groups: Groups) -> Pattern:
        """How many suctions are usual, and how they are rated."""
        tallied: dict[str, Sequence[tuple[RatingTally, float]]] = {}
        for group, tallies in self._tallies.items():
            by_weight: dict[float, dict[int, Given]] = {1.0: {}}
            for day, _, weight in groups[group]:
                by_weight.setdefault(weight, {})[day.ordinal] = day.given()
            whole = tallies.of(by_weight.pop(1.0))
            # There are others than whole days for a while after a restart.
            parts = [(RatingTallies(TALLIED[group]).of(days), weight) for weight, days in by_weight.items()]
            for scale in TALLIED[group]:
                tallied[scale] = [(each[scale], weight) for each, weight in [(whole, 1.0), *parts]]
        habits = {each.name: habit(each, tallied[SOURCE.get(each.name, each.name)]) for each in SCALES}
        return Pattern(rate(groups["suction"]), habits)


def usual(pattern: Pattern, groups: Groups, losses: Callable[[Day], Sequence[Loss]]) -> Usual:
    """All that is usual, from the days learnt from; `losses` gives what the cuff lost on one of them."""
    cuff = [loss for each in groups["cuff"] if each.weight == 1.0 for loss in losses(each.day)]
    readings = {}
    for measure in MEASURES:
        read = [(each.day.readings(measure.name), each.weight) for each in groups["readings"]]
        found = usual_reading(measure, read)
        if found is not None:
            readings[measure.name] = found
    return Usual(pattern.rate, pattern.habits, cuff_usual(cuff), readings)
