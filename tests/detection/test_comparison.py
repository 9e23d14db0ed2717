"""What isn't compared is said: too new, learnt anew, first days that differ, seldom written down."""

from typing import Any

import pytest
from scipy.stats import chi2

from carelog.analysis.usual.comparison import chi_squared_edge, comparison
from tests.detection.steady import Steady


def even(days: int, **ratings: Any) -> Steady:
    household = Steady()
    household.days(0, days, **ratings)
    return household


def unjudged(household: Steady, day: float) -> str:
    return " ".join(comparison(household.noticing(until=day)).unjudged)


@pytest.mark.parametrize("freedom", [1, 5, 13, 27])
def test_the_edge_is_the_chi_squared_distributions_as_scipy_has_it(freedom: int) -> None:
    assert chi_squared_edge(freedom) == pytest.approx(chi2.ppf(0.99, freedom), rel=0.01)


def test_nothing_is_left_unsaid_of_an_even_household() -> None:
    assert unjudged(even(20), 20) == ""


def test_an_empty_record_is_still_learnt() -> None:
    assert "0 of 14 days" in " ".join(comparison(Steady().noticing(until=-1)).unjudged)


def test_first_days_that_differ_much_are_warned_of_until_there_are_more() -> None:
    household = Steady()
    for day in range(30):
        household.suctioned(day, 3 if day % 2 else 22)
        household.care(day)
    assert "differed much" in unjudged(household, 16)
    assert "differed much" not in unjudged(household, 30)


def test_ratings_that_are_seldom_given_are_named() -> None:
    household = Steady()
    for day in range(20):
        for number in range(9):
            household.write(day + (7 + number) / 24, "suction", colour="white")
        household.care(day)
    said = unjudged(household, 20)
    assert "Too seldom written down to compare: thickness, amount." in said


def test_without_other_care_fewer_suctions_cannot_be_noticed() -> None:
    household = Steady()
    for day in range(20):
        household.suctioned(day, 10)
    said = unjudged(household, 20)
    assert "to tell when there are fewer suctions" in said
    assert "what the inner tube held" in said


def test_a_cuff_with_few_readings_is_said_not_to_be_compared() -> None:
    household = Steady()
    for day in range(20):
        household.suctioned(day, 10)
        for hour in (6.5, 14.0, 22.0):
            household.write(day + hour / 24, "inner_tube", outcome="cleaned", found="coated")
    household.write(19.5, "cuff_pressure", value=25, unit="cmH2O")
    assert "too few readings to compare what the cuff loses" in unjudged(household, 20)
