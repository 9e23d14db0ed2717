"""The statistics against answers that others published; each source stands beside its check."""

import numpy as np
import pytest
from scipy import stats

from carelog.analysis.usual.likelihood import (
    count_ratios,
    cusum,
    log_ratios,
    normal_ratio,
    shifted,
)
from tests.detection import simple_rules
from tests.detection.run_lengths import poisson_run_length

# NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4
EWMA_VALUES = (
    *(52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5),
    *(49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1),
)
EWMA_ANSWERS = (
    *(50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33),
    *(50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99),
)
# the same, 6.3.2.3
CUSUM_VALUES = (
    *(324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600),
    *(324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350),
)
CUSUM_ANSWERS = (3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.00, 19.04)
# the same, 6.3.3.1
WAFERS = (16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14, 16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31, 13)


def test_the_weighted_average_is_that_of_the_handbook() -> None:
    found = simple_rules.ewma(EWMA_VALUES, 0.3, 50)
    assert found == pytest.approx(EWMA_ANSWERS, abs=0.0051)
    limits = simple_rules.ewma_limits(50, 2.0539, 0.3)
    assert limits == pytest.approx((52.5884, 47.4115), abs=0.0005)


def test_the_upper_sums_are_those_of_the_handbook() -> None:
    found = simple_rules.upper_sums(CUSUM_VALUES, 325, 0.3175)
    assert found[12:] == pytest.approx(CUSUM_ANSWERS, abs=0.0051)
    assert next(day for day, value in enumerate(found, 1) if value > 4.1959) == 14


def test_the_programs_own_sum_gives_the_handbooks_sums() -> None:
    """A normal shift's log-likelihood ratio is the handbook's step times the shift over the variance."""
    shift, own, found = 2 * 0.3175, 0.0, []
    for value in CUSUM_VALUES:
        own = cusum(own, normal_ratio(value - 325, shift))
        found.append(own / shift)
    assert found[12:] == pytest.approx(CUSUM_ANSWERS, abs=0.0051)


def test_the_counts_chart_is_that_of_the_handbook() -> None:
    centre, upper, lower = simple_rules.counts_chart(WAFERS)
    assert (centre, upper, lower) == (16, 28, 4)
    assert [number for number, count in enumerate(WAFERS, 1) if count > upper] == [24]
    assert WAFERS[2] == upper


@pytest.mark.parametrize(
    ("allowance", "limit", "mean", "start", "answer"),
    [
        # Lucas, Technometrics 1985;27:129-144, as in the manual of the R package spc
        (0.25, 10, 0.25, 0, 438.12),
        (0.25, 10, 0.25, 5, 333.12),
        # R package IAcsSPCR
        (2, 6, 1.88, 0, 37.203),
        (2, 6, 1.88, 3, 29.188),
        (2, 6, 3.20, 0, 5.491),
        (2, 6, 3.20, 3, 3.329),
    ],
)
def test_run_lengths_of_a_poisson_sum_are_the_published_ones(
    allowance: float, limit: float, mean: float, start: float, answer: float
) -> None:
    assert poisson_run_length(allowance, limit, mean, start) == pytest.approx(answer, abs=0.006)


def test_run_lengths_of_the_lower_sum_are_the_published_ones() -> None:
    """Lucas 1985, as above: 437, and 318 with a head start of half the limit."""
    assert poisson_run_length(0.25, 10, 0.25, 0, is_lower=True) == pytest.approx(436.76, abs=0.006)
    assert poisson_run_length(0.25, 10, 0.25, 5, is_lower=True) == pytest.approx(318.33, abs=0.006)


def test_the_programs_count_ratio_without_spread_is_that_of_a_poisson_count() -> None:
    """SciPy's Poisson probabilities as the oracle; a size without bound takes the day's effect away."""
    for count in (0, 3, 10, 25):
        exact = stats.poisson.logpmf(count, 16.0) - stats.poisson.logpmf(count, 10.0)
        assert count_ratios([count], [10.0], 1e9, 1.0, 1.6) == pytest.approx([exact], abs=1e-5)


def test_the_programs_count_ratio_is_that_of_a_negative_binomial_day() -> None:
    """SciPy's negative binomial as the oracle, for a change at the start of the day."""
    size = 10.0
    for count in (0, 7, 14, 31):
        exact = stats.nbinom.logpmf(count, size, size / (size + 25)) - stats.nbinom.logpmf(
            count, size, size / (size + 10)
        )
        assert count_ratios([count], [10.0], size, 1.0, 2.5) == pytest.approx([exact], abs=1e-9)
        assert count_ratios([count], [5.0], size, 2.0, 2.5) == pytest.approx([exact], abs=1e-9)


def test_a_change_within_the_day_integrates_the_days_effect_out() -> None:
    """Against numerical integration over the gamma effect with SciPy's densities."""
    size, before, after, expected, ratio = 10.0, 4, 9, 5.0, 2.0
    effects = np.linspace(1e-4, 5, 20_001)
    weight = stats.gamma.pdf(effects, size, scale=1 / size)

    def likelihood(times: float) -> float:
        early = stats.poisson.pmf(before, effects * expected)
        late = stats.poisson.pmf(after, effects * expected * times)
        return float(np.trapezoid(weight * early * late, effects))

    exact = np.log(likelihood(ratio) / likelihood(1.0))
    found = count_ratios([before + after, after], [2 * expected, expected], size, 1.0, ratio)
    assert found[1] == pytest.approx(exact, abs=1e-4)


def test_ears_scores_worked_out_by_hand() -> None:
    counts = (10, 12, 9, 11, 10, 13, 12, 11, 10, 25, 24, 26)
    assert simple_rules.ears_c1(counts, 9) == pytest.approx(10.5137, abs=5e-5)
    assert simple_rules.ears_c2(counts, 9) == pytest.approx(9.8995, abs=5e-5)
    assert simple_rules.ears_c3(counts, 11) == pytest.approx(27.7145, abs=5e-5)


def test_scipy_answers_as_its_manual_says() -> None:
    """The oracles themselves: SciPy's manual, poisson_means_test and mannwhitneyu."""
    found = stats.poisson_means_test(0, 100, 3, 100)
    assert (found.statistic, found.pvalue) == pytest.approx((-1.7320508, 0.0883790), abs=1e-6)
    ranks = stats.mannwhitneyu((19, 22, 16, 29, 24), (20, 11, 17, 12), method="exact")
    assert (ranks.statistic, round(ranks.pvalue, 4)) == (17, 0.1111)


def test_moved_odds_are_the_proportional_odds_model() -> None:
    """Against the definition: every cumulative log-odds moves by the same amount."""
    usual = (0.6, 0.25, 0.1, 0.04, 0.01)
    moved = shifted(usual, 1.2)
    for cut in range(1, 5):
        before, after = sum(usual[cut:]), sum(moved[cut:])
        assert np.log(after / (1 - after)) - np.log(before / (1 - before)) == pytest.approx(1.2, abs=1e-6)
    mean = sum(p * ratio for p, ratio in zip(usual, log_ratios(usual, moved), strict=True))
    assert mean == pytest.approx(-stats.entropy(usual, moved), abs=1e-6)
