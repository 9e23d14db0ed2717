"""Simple rules that others use on daily counts, to compare with: EWMA, CUSUM, counts chart, mean + SD, EARS.

They are tests' own, not part of the program.
"""

from collections.abc import Sequence
from math import nan, sqrt

import numpy as np


def ewma(values: Sequence[float], weight: float, start: float) -> list[float]:
    """The exponentially weighted moving average (NIST/SEMATECH e-Handbook, 6.3.2.4)."""
    found, before = [], start
    for value in values:
        before = weight * value + (1 - weight) * before
        found.append(before)
    return found


def ewma_limits(centre: float, sd: float, weight: float, width: float = 3.0) -> tuple[float, float]:
    """The settled limits of the average: width times its own standard deviation either side."""
    off = width * sd * sqrt(weight / (2 - weight))
    return centre + off, centre - off


def upper_sums(values: Sequence[float], target: float, allowance: float) -> list[float]:
    """The upper cumulative sums in units of the values (the same, 6.3.2.3)."""
    found, before = [], 0.0
    for value in values:
        before = max(0.0, before + value - target - allowance)
        found.append(before)
    return found


def counts_chart(counts: Sequence[int]) -> tuple[float, float, float]:
    """Centre and limits three standard deviations either side, for counts (the same, 6.3.3.1)."""
    centre = float(np.mean(counts))
    return centre, centre + 3 * sqrt(centre), max(0.0, centre - 3 * sqrt(centre))


def _score(value: float, baseline: Sequence[float]) -> float:
    sd = float(np.std(baseline, ddof=1)) if len(baseline) > 1 else nan
    return (value - float(np.mean(baseline))) / max(sd, 0.5)


def ears_c1(values: Sequence[float], day: int) -> float:
    """EARS C1: against days t−7 to t−1 (Hutwagner et al., J Urban Health 2003;80:i89–i96)."""
    return _score(values[day], values[day - 7 : day])


def ears_c2(values: Sequence[float], day: int) -> float:
    """EARS C2: against days t−9 to t−3."""
    return _score(values[day], values[day - 9 : day - 2])


def ears_c3(values: Sequence[float], day: int) -> float:
    """EARS C3: what C2 had above 1 on this day and the two before."""
    return sum(max(0.0, ears_c2(values, each) - 1) for each in (day - 2, day - 1, day))


def mean_and_sd(values: Sequence[float], day: int) -> float:
    """How many standard deviations of the last seven days a day lies above their mean."""
    return ears_c1(values, day)


def chart_score(values: Sequence[float], day: int) -> float:
    """A counts chart's distance from the centre of the last four weeks, in its own standard deviations."""
    centre = float(np.mean(values[max(0, day - 28) : day]))
    return (values[day] - centre) / sqrt(max(centre, 0.5))


RULES = {
    "mean + 2 SD of 7 days": (mean_and_sd, 2.0),
    "counts chart": (chart_score, 3.0),
    "EARS C2": (ears_c2, 3.0),
}
