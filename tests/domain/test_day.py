"""Days are taken as people write them, and what can be read in two ways isn't guessed."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carelog.analysis.times import MONTHS
from carelog.domain.day import readings

TODAY = date(2026, 11, 28)
NEAR = ("yesterday", "today", "tomorrow")


def read(text: str, *, is_near: bool = True, with_months: bool = False) -> tuple[str, ...]:
    """What a text may mean on 28 November 2026."""
    return readings(text, TODAY, MONTHS, NEAR, is_near=is_near, with_months=with_months)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2026-11-28", "2026-11-28"),
        ("28.11.2026", "2026-11-28"),
        ("28. 11. 26", "2026-11-28"),
        ("3.4.2026", "2026-04-03"),
        ("28/11/26", "2026-11-28"),
        ("11/28/2026", "2026-11-28"),
        ("5/5/26", "2026-05-05"),
        ("28 Nov", "2026-11-28"),
        ("28th November 2026", "2026-11-28"),
        ("March 3rd, 2026", "2026-03-03"),
        ("28 november 2026", "2026-11-28"),
        ("Nov 28, 2026", "2026-11-28"),
        ("2026 Nov 28", "2026-11-28"),
        ("3 Jan", "2027-01-03"),
        ("30.12.", "2026-12-30"),
        ("29 Feb 2028", "2028-02-29"),
        (" Today ", "2026-11-28"),
        ("yesterday", "2026-11-27"),
        ("tomorrow", "2026-11-29"),
    ],
)
def test_a_day_is_read_as_people_write_it(text: str, day: str) -> None:
    assert read(text) == (day,)


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("3/4/26", ("2026-04-03", "2026-03-04")),
        ("12/11", ("2026-11-12", "2026-12-11")),
    ],
)
def test_with_slashes_both_readings_are_given_where_there_are_two(text: str, days: tuple[str, ...]) -> None:
    assert read(text) == days


@pytest.mark.parametrize(
    "text",
    [
        "",
        "soon",
        "31 Nov",
        "29 Feb 2027",
        "32.1.26",
        "28",
        "28 M",
        "28 Ju",
        "1.2.3.4",
        "28+11",
        "28.13.2026",
        "0.1.26",
    ],
)
def test_what_is_no_day_is_none(text: str) -> None:
    assert read(text) == ()


@pytest.mark.parametrize("text", ["28 Nov", "28.11.", "28.11.26", "28 Nov 61"])
def test_a_day_of_long_ago_needs_its_whole_year(text: str) -> None:
    assert read(text, is_near=False) == ()
    assert read("28 Nov 1961", is_near=False) == ("1961-11-28",)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("2026-11", ("2026-11",)),
        ("11/2026", ("2026-11",)),
        ("Nov 2026", ("2026-11",)),
        ("28.11.2026", ("2026-11-28",)),
        ("11/26", ("2026-11-26", "2026-11")),
        ("Nov 26", ("2026-11-26", "2026-11")),
        ("11/30", ("2026-11-30", "2030-11")),
    ],
)
def test_an_expiry_may_be_a_month_and_is_not_guessed(text: str, found: tuple[str, ...]) -> None:
    assert read(text, with_months=True) == found


@given(st.dates(date(2000, 1, 1), date(2099, 12, 31)))
def test_each_day_with_its_year_reads_back_in_every_form(day: date) -> None:
    for text in (f"{day}", f"{day:%d.%m.%Y}", f"{day:%d %B %Y}", f"{day:%d %b %y}", f"{day:%B %d, %Y}"):
        assert read(text) == (day.isoformat(),), text
    assert day.isoformat() in read(f"{day:%d/%m/%Y}")


@given(st.text(max_size=20))
def test_any_text_is_read_or_not_and_never_stops_the_program(text: str) -> None:
    for found in read(text, with_months=True):
        assert len(found) in (7, 10)
