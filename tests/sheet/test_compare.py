"""What is said to be different from the three weeks before: numbers as they were typed, and the extremes."""

from typing import Any

from carelog.analysis.compare import WeeksBefore, differences
from carelog.domain.entry import Entry
from tests.sheet.pages import entry
from tests.sheet.test_rounds import review


def read(day: str, number: int, **details: Any) -> Entry:
    return entry(number, f"2026-{day}T09:00:00Z", "observations", details=details)


def said(entries: list[Entry]) -> str:
    found = review(entries)
    return "\n".join(each.sentence for each in differences(found, WeeksBefore(found))).replace(
        "\N{NO-BREAK SPACE}", " "
    )


def before(**details: Any) -> list[Entry]:
    """A reading on each day of the three weeks before."""
    days = [*(f"10-{n}" for n in range(26, 32)), *(f"11-{n:02}" for n in range(1, 16))]
    return [read(day, 100 + n, **details) for n, day in enumerate(days)]


def test_a_single_high_pulse_is_told_though_the_middle_one_is_as_before() -> None:
    now = [read(f"11-{16 + n}", n, pulse_per_min=188 if n == 2 else 118) for n in range(5)]
    assert "Pulse: 118 to 188 /min (before 118 /min)" in said([*before(pulse_per_min=118), *now])


def test_with_too_few_days_recorded_before_nothing_is_told_to_be_different() -> None:
    now = [read(f"11-{16 + n}", n, pulse_per_min=188) for n in range(5)]
    assert said([*before(pulse_per_min=118)[:3], *now]) == ""


def test_a_finding_is_told_that_is_more_frequent_than_before_and_one_as_before_is_not() -> None:
    def looked(day: str, number: int, skin: str) -> Entry:
        return entry(number, f"2026-{day}T09:00:00Z", "stoma", details={"skin": skin})

    days = [*(f"10-{n}" for n in range(26, 32)), *(f"11-{n:02}" for n in range(1, 16))]
    weeks = [looked(day, 100 + n, "red" if n < 2 else "normal") for n, day in enumerate(days)]
    often = [looked(f"11-{16 + n}", n, "red") for n in range(5)]
    words = said([*weeks, *often])
    assert "skin red" in words
    assert "skin normal" not in words


def test_readings_as_before_are_not_told() -> None:
    now = [read(f"11-{16 + n}", n, pulse_per_min=118) for n in range(5)]
    assert "Pulse" not in said([*before(pulse_per_min=118), *now])


def test_numbers_that_are_the_same_are_one_number_and_no_difference() -> None:
    now = [read(f"11-{16 + n}", n, temperature_c=36.8) for n in range(5)]
    assert "36.8" not in said([*before(temperature_c=36.8), *now])
    warmer = [read(f"11-{16 + n}", n, temperature_c=36.9) for n in range(5)]
    assert "Temperature: 36.9 °C (before 36.8 °C)" in said([*before(temperature_c=36.8), *warmer])


def test_what_is_read_for_the_first_time_without_a_limit_is_told_with_its_extremes() -> None:
    now = [read(f"11-{16 + n}", n, breaths_per_min=30 + 14 * n) for n in range(3)]
    words = " 30 to 58 /min; too few before to compare"
    assert words in said([*before(pulse_per_min=118), *now])


def test_what_a_limit_marks_is_not_told_again_when_there_is_nothing_to_compare() -> None:
    now = [read(f"11-{16 + n}", n, temperature_c=36.8) for n in range(3)]
    assert "36.8" not in said([*before(pulse_per_min=118), *now])


def test_the_range_of_days_is_named_as_least_and_most() -> None:
    hours = [(day, hour) for day in range(1, 16) for hour in (8, 11, 14, 17)]
    counts = [
        entry(500 + n, f"2026-11-{day:02}T{hour:02}:00:00Z", "suction") for n, (day, hour) in enumerate(hours)
    ]
    more = [entry(700 + n, f"2026-11-17T{10 + n}:00:00Z", "suction") for n in range(9)]
    assert "Suction: 9 on Tue 17 (before 4)" in said([*counts, *more])


def test_a_shift_or_a_unit_is_no_difference_and_what_was_found_is() -> None:
    def given(day: int, number: int, unit: str, action: str, colour: str) -> list[Entry]:
        time = f"2026-11-{day:02}T09:00:00Z"
        details = {"colour": colour, "vacuum": 12, "vacuum_unit": unit}
        return [
            entry(number, time, "suction", details=details),
            entry(number + 50, time, "shift", details={"action": action}),
        ]

    then = [each for day in range(1, 16) for each in given(day, 100 + day, "kPa", "start", "white")]
    now = [each for day in range(16, 21) for each in given(day, 200 + day, "cmH2O", "end", "green")]
    told = said([*then, *now])
    assert "green: 5 of 5 (before 0 of 15)" in told
    assert "cmH2O" not in told
    assert "Shift" not in told
