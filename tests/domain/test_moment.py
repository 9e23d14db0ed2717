"""Moments and the home zone's days."""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Home, Moment, Week, has_zone_form, of_datetime
from carelog.domain.trouble import Refused
from tests.strategies import exact_moments


@given(moment=exact_moments)
def test_a_moment_survives_its_written_form(moment: Moment) -> None:
    assert Moment.read(moment.text()) == moment


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("2026-11-22T03:10Z", "2026-11-22T03:10:00+00:00"),
        ("2026-11-22T03:10:00.5-05:30", "2026-11-22T03:10:00.500000-05:30"),
        ("2026-11-22T03:10:00.000000+00:00", "2026-11-22T03:10:00+00:00"),
        ("0001-01-01T00:00:00+14:00", "0001-01-01T00:00:00+14:00"),
        ("9999-12-31T23:59:59.999999-12:00", "9999-12-31T23:59:59.999999-12:00"),
        ("2026-11-22T03:10:00-00:00", "2026-11-22T03:10:00+00:00"),
    ],
)
def test_a_time_is_written_in_its_own_offset_to_the_second_or_with_six_digits(
    text: str, written: str
) -> None:
    assert Moment.read(text).text() == written


@pytest.mark.parametrize(
    "text",
    [
        "2026-11-22",
        "2026-11-22 03:10:00Z",
        "2026-11-22T03:10:00",
        "2026-11-22T03Z",
        "2026-11-22T03:10:00z",
        "2026-11-22T03:10:00.1234567Z",
        "2026-11-22T03:10:00,5Z",
        "2026-11-22T24:00:00Z",
        "2026-11-22T03:10:60Z",
        "2026-02-29T03:10:00Z",
        "2026-11-22T03:10:00+0100",
        "2026-11-22T03:10:00+24:00",
        "20261122T031000Z",
        "٢٠٢٦-11-22T03:10:00Z",
        "2026-W47-7T03:10:00Z",
        "2026-11-22T03:10:00Z\n",
        "",
    ],
)
def test_another_form_of_time_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        Moment.read(text)


def test_a_local_time_in_the_spring_gap_is_the_first_minute_after_it() -> None:
    home = Home("Europe/London")
    assert home.moment(home.at(date(2026, 3, 29), time(1, 30))).text() == "2026-03-29T02:00:00+01:00"
    home = Home("Australia/Lord_Howe")
    assert home.moment(home.at(date(2026, 10, 4), time(2, 15))).text() == "2026-10-04T02:30:00+11:00"


def test_a_local_time_doubled_in_autumn_is_the_first_of_the_two() -> None:
    home = Home("Europe/London")
    assert home.moment(home.at(date(2026, 10, 25), time(1, 30))).text() == "2026-10-25T01:30:00+01:00"
    assert home.is_doubled(date(2026, 10, 25), time(1, 30))
    assert not home.is_doubled(date(2026, 10, 25), time(2, 30))
    assert home.is_skipped(date(2026, 3, 29), time(1, 30))


@pytest.mark.parametrize(
    ("day", "hours"), [(date(2026, 3, 29), 23), (date(2026, 10, 25), 25), (date(2026, 6, 1), 24)]
)
def test_days_have_23_24_or_25_hours(day: date, hours: int) -> None:
    home = Home("Europe/London")
    assert home.end_of(day) - home.start_of(day) == hours * HOUR


def test_a_day_whose_midnight_does_not_exist_starts_at_its_first_minute() -> None:
    home = Home("America/Havana")
    assert home.moment(home.start_of(date(2026, 3, 8))).text() == "2026-03-08T01:00:00-04:00"


@given(
    day=st.dates(date(1990, 1, 1), date(2037, 12, 31)),
    zone=st.sampled_from(
        ["Europe/London", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu", "UTC"]
    ),
)
def test_every_instant_of_a_day_is_read_as_that_day(day: date, zone: str) -> None:
    home = Home(zone)
    start, end = home.start_of(day), home.end_of(day)
    assert home.day(start) == home.day(end - 1) == day
    assert home.day(start - 1) == day - timedelta(days=1)
    assert 22 * HOUR < end - start < 26 * HOUR


@given(st.datetimes(datetime(1, 1, 1), datetime(9999, 12, 31)))
def test_the_local_clock_of_utc_is_the_time_itself(when: datetime) -> None:
    instant = of_datetime(when.replace(tzinfo=UTC))
    shown = Home("UTC").local(instant)
    held = when.year in (1, 9999)
    assert held or shown == when.replace(tzinfo=UTC)


def test_a_week_is_read_and_written_and_its_days_follow() -> None:
    week = Week.read("2026-W43")
    assert week.monday() == date(2026, 10, 19)
    assert week.days()[-1] == date(2026, 10, 25)
    start, end = Home("Europe/London").week(week)
    assert end - start == 7 * DAY_24_H + HOUR
    assert Week.of(date(2027, 1, 1)).text() == "2026-W53"
    assert Week.near("47", date(2026, 11, 28)).text() == "2026-W47"
    assert Week.near(" W52 ", date(2026, 11, 28)).text() == "2025-W52"
    assert Week.near("53", date(2027, 1, 2)).text() == "2026-W53"
    assert Week.near("2026-W01", date(2026, 11, 28)).text() == "2026-W01"


@pytest.mark.parametrize("text", ["2026-43", "2026-W54", "2025-W53", "2026-W00", "W43", "2026-W4", ""])
def test_a_week_that_does_not_exist_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        Week.read(text)


def test_a_zone_has_the_form_of_an_iana_name() -> None:
    for name in ("Europe/London", "UTC", "America/Argentina/Buenos_Aires", "Etc/GMT+5", "Mars/Olympus_Mons"):
        assert has_zone_form(name)
    for name in ("", "/Europe", "Europe/", "Europe//London", "../etc/passwd", "Europe/Lon don", "+01:00"):
        assert not has_zone_form(name)


def test_an_unknown_zone_is_read_as_utc() -> None:
    assert Home("Mars/Olympus_Mons").offset(90 * MINUTE) == 0


def test_a_moment_that_names_no_offset_is_told_in_utc_and_an_offset_may_be_a_minute_short_of_a_day() -> None:
    assert Moment(0).text() == "1970-01-01T00:00:00+00:00"
    assert Moment.read("1970-01-02T00:00:00+23:59") == Moment(MINUTE, 23 * 60 + 59)
