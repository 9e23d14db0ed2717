"""Readings of oxygen saturation and pulse: what is usual, and how far a day's readings lie from it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from operator import mul
from statistics import median

from carelog.domain.entry import Details
from carelog.domain.moment import Instant

FARTHEST = 3.0  # standard deviations from the middle: what lies beyond is learnt as lying there
PRIOR_WEIGHT = 10.0
LEAST_DAYS = 10
LEAST_DAILY = 0.7  # of the days learnt from have a reading
SHIFT = 2.5  # standard deviations
LARGEST = 3.5  # of one reading: it can't raise a flag by itself
SMALLEST = -3.0
ALIKE = 0.5  # the correlation of one day's readings


@dataclass(frozen=True, slots=True)
class Measure:
    """One reading that is compared: `sign` says which way is a change, `sd` what is believed at first.

    `finest`: no smaller standard deviation is believed, in the reading's unit.
    """

    name: str
    field: str
    sign: int
    sd: float
    finest: float


SPO2 = Measure("spo2", "spo2_percent", -1, 1.0, 1.0)
PULSE = Measure("pulse", "pulse_per_min", 1, 6.0, 4.0)
MEASURES = (SPO2, PULSE)
NOTHING_READ: Mapping[str, float] = {}
MEASURE_OF = {"spo2_falling": SPO2, "pulse_rising": PULSE}


def read(kind: str, details: Details) -> Mapping[str, float]:
    """The readings that an entry gives, by the measure's name."""
    if kind != "observations":
        return NOTHING_READ
    return {each.name: float(details[each.field]) for each in MEASURES if each.field in details}


@dataclass(frozen=True, slots=True)
class UsualReading:
    """The middle and the standard deviation of a person's readings, in their unit."""

    measure: Measure
    middle: float
    sd: float

    def deviation(self, value: float) -> float:
        """How far a reading speaks for the change, in standard deviations."""
        return self.measure.sign * (value - self.middle) / self.sd

    def band(self) -> tuple[int, int]:
        """The range in which about two of three readings lie."""
        return round(self.middle - self.sd), round(self.middle + self.sd)


Readings = Sequence[tuple[Instant, float]]
"""Those of one day, with their times."""


def usual_reading(measure: Measure, days: Sequence[tuple[Readings, float]]) -> UsualReading | None:
    """What is usual from the days learnt from, each with its weight; None where readings are too seldom."""
    read_on = [(read, weight) for read, weight in days if read]
    if len(read_on) < max(LEAST_DAYS, LEAST_DAILY * len(days)):
        return None
    values = [value for read, _ in read_on for _, value in read]
    weights = [weight for read, weight in read_on for _ in read]
    farthest, centre, whole = FARTHEST * measure.sd, median(values), sum(weights)
    lowest, highest = centre - farthest, centre + farthest
    held = [min(max(value, lowest), highest) for value in values]
    middle = sum(map(mul, held, weights)) / whole
    off = [min(abs(value - middle), farthest) ** 2 for value in values]
    variance = (sum(map(mul, weights, off)) + PRIOR_WEIGHT * measure.sd**2) / (whole + PRIOR_WEIGHT)
    number = sum(weight for _, weight in read_on)
    sd = max(sqrt(variance), measure.finest) * sqrt(1 + 1 / number)
    return UsualReading(measure, middle, sd)


def speaks(usual: UsualReading, values: Sequence[float]) -> float:
    """The log-likelihood ratio of one day's readings for a shift; readings of one day are alike."""
    held = (min(max(usual.deviation(value), SMALLEST), LARGEST) for value in values)
    total = sum(SHIFT * each - SHIFT * SHIFT / 2 for each in held)
    return total / (1 + (len(values) - 1) * ALIKE)
