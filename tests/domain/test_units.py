"""Units against published values, and comparing a reading with a limit."""

from fractions import Fraction

import pytest

from carelog.domain.units import STEP, celsius, comparable, exact, outermost, plain, pressure, with_unit

# Computed from the conventional factors of NIST SP 811 table B.8 (MEMORY), rounded as shown.
SAME = [
    (20, "cmH2O", "kPa", "1.96"),
    (20, "cmH2O", "mmHg", "14.7"),
    (25, "cmH2O", "kPa", "2.45"),
    (25, "cmH2O", "mmHg", "18.4"),
    (30, "cmH2O", "kPa", "2.94"),
    (30, "cmH2O", "mmHg", "22.1"),
    (15, "cmH2O", "kPa", "1.47"),
    (15, "cmH2O", "mmHg", "11.0"),
    (50, "cmH2O", "kPa", "4.90"),
    (50, "cmH2O", "mmHg", "36.8"),
    (20, "mmHg", "cmH2O", "27.2"),
    (20, "mmHg", "kPa", "2.67"),
    (22, "mmHg", "cmH2O", "29.9"),
    (25, "mmHg", "cmH2O", "34.0"),
    (80, "mmHg", "kPa", "10.7"),
    (120, "mmHg", "kPa", "16.0"),
    (150, "mmHg", "kPa", "20.0"),
    (200, "mmHg", "kPa", "26.7"),
]


@pytest.mark.parametrize(("value", "unit", "into", "published"), SAME)
def test_a_pressure_converts_to_the_check_values(value: int, unit: str, into: str, published: str) -> None:
    digits = len(published.split(".")[1])
    assert f"{float(pressure(value, unit, into)):.{digits}f}" == published


def test_twenty_five_mmhg_is_over_a_limit_of_thirty_cmh2o() -> None:
    assert comparable(25, "mmHg", "cmH2O") == 34


def test_twenty_kpa_is_at_a_limit_of_150_mmhg_and_not_over_it() -> None:
    assert comparable(20, "kPa", "mmHg") == 150


def test_the_same_unit_is_compared_as_typed() -> None:
    assert comparable(30.4, "cmH2O", "cmH2O") == Fraction("30.4")
    assert comparable(0.1, "kPa", "kPa") == Fraction(1, 10)


def test_fahrenheit_is_held_against_a_limit_in_tenths_of_a_degree_celsius() -> None:
    assert celsius(100.4) == 38
    assert celsius(100.3) == Fraction("37.9")
    assert celsius(98.6) == 37


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.5, "0.5"), (8, "8"), (8.0, "8"), (37.20, "37.2"), (-0.0, "0"), (1e-7, "0"), (1e300, None)],
)
def test_numbers_have_a_leading_zero_and_no_trailing_one(value: float, text: str | None) -> None:
    assert plain(value) == (text or "1" + "0" * 300)


def test_a_number_and_its_unit_never_part() -> None:
    assert with_unit(34, "cmH2O") == "34\N{NO-BREAK SPACE}cmH2O"


@pytest.mark.parametrize("unit", ["cmH2O", "mmHg", "kPa"])
@pytest.mark.parametrize("limit_unit", ["cmH2O", "mmHg", "kPa"])
@pytest.mark.parametrize("limit", [2, 2.9, 14, 20, 25.5, 30, 120])
def test_the_outermost_reading_inside_a_limit_is_inside_and_the_next_step_is_not(
    unit: str, limit_unit: str, limit: int | float
) -> None:
    for is_low, direction in ((True, -1), (False, 1)):
        found = outermost(limit, limit_unit, unit, is_low=is_low)
        beyond = found + direction * STEP[unit]
        held, next_held = (comparable(float(each), unit, limit_unit) for each in (found, beyond))
        bound = exact(limit)
        assert held >= bound if is_low else held <= bound
        assert next_held < bound if is_low else next_held > bound


def test_twenty_to_thirty_cmh2o_is_fifteen_to_twenty_two_mmhg_on_the_gauge() -> None:
    assert outermost(20, "cmH2O", "mmHg", is_low=True) == 15
    assert outermost(30, "cmH2O", "mmHg", is_low=False) == 22
