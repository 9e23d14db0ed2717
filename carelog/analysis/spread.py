"""How surely what is left lasts so many days, by how far its use varies from day to day.

The use of several days is taken as negative binomial by the method of moments (common practice in stock
keeping, no source): the mean is the use a day, the variance is so many times the mean as on the last recorded
days. Since the mean itself is known from few days only, the days ahead are less sure the more of them there
are. A calm fortnight says too little of what is used rarely, so the mean of the last 56 recorded days is
tried too, and the more cautious answer counts. Use that varies less than by chance (one a day, each day) is
binomial by the same moments. Both distributions by the incomplete beta function: NIST Digital Library of
Mathematical Functions, 8.17(v), and for the sums 8.17(i) (MEMORY); the tests hold them against SciPy.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import exp, lgamma, log, log1p

VARIED_DAYS = 56
"""How many recorded days tell how far use varies."""
LEAST_DAYS = 14
"""Of fewer recorded days nothing is said of how far use varies."""
LONGEST = 3650.0
"""Days: nobody is told of more than ten years."""
_NEAR_CHANCE = 0.01
_NEAR_NOTHING = 0.001  # of the ratio: every day is like the others
_FINE = 0.001  # days


@dataclass(frozen=True, slots=True)
class Use:
    """An item's use a day, known from so many recorded days, and how far its days differ.

    `ratio`: the variance of a day's use as a multiple of its mean; 1 is chance alone.
    """

    per_day: Fraction
    days: int
    ratio: float


def ratio_of(counts: Sequence[int]) -> float | None:
    """The variance of these days' use as a multiple of their mean; None for too few days, or no use."""
    if len(counts) < LEAST_DAYS or not any(counts):
        return None
    days, whole = len(counts), sum(counts)
    return (days * sum(each * each for each in counts) - whole * whole) / ((days - 1) * whole)


def use_of(counts: Sequence[int], ratio: float) -> Use:
    """The use a day on these days, which vary so."""
    return Use(Fraction(sum(counts), len(counts)), len(counts), ratio)


def chance(use: Use, left: Fraction, days: float) -> float:
    """How likely it is that what is left is enough for so many days, from 0 to 1."""
    count = left.__floor__()
    if count < 0:
        return 0.0
    mean, ratio = float(use.per_day) * days, use.ratio * (1 + days / use.days)
    if ratio < _NEAR_NOTHING:
        return float(mean <= count)
    if abs(ratio - 1) < _NEAR_CHANCE:
        ratio = 1 + _NEAR_CHANCE
    if ratio > 1:
        return 1.0 if mean <= 0 else beta_share(mean / (ratio - 1), count + 1, 1 / ratio)
    size = mean / (1 - ratio)
    return 1.0 if size <= count else beta_share(size - count, count + 1, ratio)


def days_of_chance(use: Use, left: Fraction, wanted: float) -> float:
    """The most days for which what is left is enough with this chance, to a hundredth of a day."""
    low, high = 0.0, LONGEST
    while high - low > _FINE:
        middle = (low + high) / 2
        if chance(use, left, middle) >= wanted:
            low = middle
        else:
            high = middle
    return round(high, 2)


def surely_lasts(uses: Iterable[Use], left: Fraction, sure: int) -> float:
    """The days that it lasts at least in `sure` of 100, by the reckoning that says the fewest."""
    return min(days_of_chance(use, left, sure / 100) for use in uses)


def range_of_days(uses: Sequence[Use], left: Fraction, sure: int) -> tuple[float, float]:
    """The days that it lasts at least, and at most, each in `sure` of 100, by the furthest reckoning."""
    most = max(days_of_chance(use, left, 1 - sure / 100) for use in uses)
    return surely_lasts(uses, left, sure), most


def beta_share(a: float, b: float, x: float) -> float:
    """The regularized incomplete beta function I_x(a, b) by its continued fraction; a, b > 0, 0 < x < 1."""
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x))
    if x < (a + 1) / (a + b + 2):
        return min(front * _fraction(a, b, x) / a, 1.0)
    return max(1 - front * _fraction(b, a, 1 - x) / b, 0.0)


_STEPS = 2000
_SMALL = 1e-300
_CLOSE = 1e-12


def _fraction(a: float, b: float, x: float) -> float:
    """The continued fraction of the incomplete beta function, from its beginning on (Lentz's method)."""
    below = 1 / _apart(1 - (a + b) * x / (a + 1))
    above, found = 1.0, below
    for m in range(1, _STEPS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            below = 1 / _apart(1 + term * below)
            above = _apart(1 + term / above)
            found *= below * above
        if abs(below * above - 1) < _CLOSE:
            break
    return found


def _apart(value: float) -> float:
    """The same, but not so near zero that nothing can be divided by it."""
    return value if abs(value) > _SMALL else _SMALL
