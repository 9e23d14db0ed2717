"""Exact mean run lengths of a Poisson CUSUM by a Markov chain (Brook, Evans, Biometrika 1972;59:539–549)."""

from fractions import Fraction
from math import lcm

import numpy as np
from scipy.stats import poisson


def poisson_run_length(
    allowance: float, limit: float, mean: float, start: float = 0.0, is_lower: bool = False
) -> float:
    """How many counts pass on average until the sum, held at zero, reaches the limit.

    The sum is of count − allowance, or, if lower, of allowance − count. Allowance, limit and start must be
    multiples of a common fraction.
    """
    parts = [Fraction(value).limit_denominator(1000) for value in (allowance, limit, start)]
    unit = lcm(*(part.denominator for part in parts))
    k, h, first = (int(part * unit) for part in parts)
    sign = -1 if is_lower else 1
    chances = np.zeros((h, h))
    most = int(poisson.isf(1e-15, mean)) + h // unit + 2
    for state in range(h):
        for count in range(most):
            target = max(0, state + sign * (count * unit - k))
            if target < h:
                chances[state, target] += poisson.pmf(count, mean)
    lengths = np.linalg.solve(np.eye(h) - chances, np.ones(h))
    return float(lengths[first])
