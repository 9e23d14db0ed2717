"""How much better a change explains what was recorded than the usual does: log-likelihood ratios.

Counts are negative binomial: a day's suctions share a gamma effect of mean 1 and shape `size`. Ranks follow a
cumulative log-odds model; colours a mixture; cuff losses a normal one. All values are natural logarithms.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import exp, log, sqrt

Shares = tuple[float, ...]
LEAST_SHARE = 0.002


def count_ratios(
    counts: Sequence[float], expected: Sequence[float], size: float, factor: float, ratio: float
) -> list[float]:
    """Change against none for one day: from each of some moments on the rate is `ratio` times the usual.

    `counts` and `expected` are the suctions from each moment on, the first of them those of the whole day;
    `factor` times as many are expected as usual. The day's gamma effect is integrated out, so what was
    recorded before a moment says how the day is.
    """
    whole, of_ratio = size + counts[0], log(ratio)
    grown = (ratio - 1) * factor / (size + factor * expected[0])
    return [
        later * of_ratio - whole * log(1 + grown * due) for later, due in zip(counts, expected, strict=True)
    ]


def shifted(shares: Sequence[float], log_odds: float) -> Shares:
    """The shares of ordered categories after every cumulative log-odds has moved up."""
    factor, above, edges = exp(log_odds), 1.0, [1.0]
    for share in shares[:-1]:
        above = max(above - share, 1e-9)
        edges.append(factor * above / (1 + (factor - 1) * above))
    edges.append(0.0)
    return tuple([max(high - low, 1e-9) for high, low in pairwise(edges)])


def mixed(shares: Sequence[float], towards: Sequence[float], part: float) -> Shares:
    """The shares after a part of all has moved to another distribution."""
    return tuple([(1 - part) * share + part * other for share, other in zip(shares, towards, strict=True)])


def settled(shares: Sequence[float]) -> Shares:
    """Shares that add up to 1 with none below the least that is believed."""
    kept = [max(share, LEAST_SHARE) for share in shares]
    whole = sum(kept)
    return tuple([share / whole for share in kept])


def log_ratios(usual: Sequence[float], changed: Sequence[float]) -> tuple[float, ...]:
    """The log-likelihood ratio of each category."""
    return tuple([log(after / before) for before, after in zip(usual, changed, strict=True)])


def normal_ratio(deviation: float, shift: float) -> float:
    """A shift of a normal value, both in standard deviations."""
    return shift * deviation - shift * shift / 2


def cusum(before: float, step: float) -> float:
    """The cumulative sum that never falls below nothing (Page, Biometrika 1954;41:100-115)."""
    return max(0.0, before + step)


def design_effect(count: float, alike: float) -> float:
    """How much less the ratings of one day say than as many of different days (Kish 1965); at least 1."""
    return max(1.0, 1 + (count - 1) * alike)


def count_spread(mean: float, spread: float) -> float:
    """The standard deviation of a count whose day effects have the variance `spread`."""
    return sqrt(mean + spread * mean * mean)
