"""Times on the command line: ISO 8601, at home where no offset is given."""

import pytest

from carelog.commands.times import home_text, read_moment
from carelog.domain.moment import Home
from carelog.domain.trouble import WrongUse

LONDON = Home("Europe/London")

READ = [
    ("2026-11-22", "2026-11-22T00:00:00+00:00"),
    ("2026-06-22", "2026-06-22T00:00:00+01:00"),
    ("20261122", "2026-11-22T00:00:00+00:00"),
    ("2026-W47-7", "2026-11-22T00:00:00+00:00"),
    ("2026-11-22T03:10", "2026-11-22T03:10:00+00:00"),
    ("2026-06-22T03:10:30", "2026-06-22T03:10:30+01:00"),
    ("2026-06-22T03:10:30.25", "2026-06-22T03:10:30.250000+01:00"),
    ("2026-11-22T03:10Z", "2026-11-22T03:10:00+00:00"),
    ("2026-11-22T03:10:00-05:00", "2026-11-22T03:10:00-05:00"),
    ("20261122T0310+0530", "2026-11-22T03:10:00+05:30"),
    ("2026-10-25T01:30+01:00", "2026-10-25T01:30:00+01:00"),
    ("2026-10-25T01:30+00:00", "2026-10-25T01:30:00+00:00"),
]


@pytest.mark.parametrize(("text", "moment"), READ)
def test_a_time_without_offset_is_at_home(text: str, moment: str) -> None:
    assert read_moment(text, LONDON).text() == moment


UNCLEAR = [
    ("2026-03-29T01:30", ["2026-03-29T01:30:00+00:00", "2026-03-29T01:30:00+01:00", "doesn't exist"]),
    ("2026-10-25T01:30", ["2026-10-25T01:30:00+01:00", "2026-10-25T01:30:00+00:00", "comes twice"]),
]


@pytest.mark.parametrize(("text", "parts"), UNCLEAR)
def test_a_gap_and_a_doubled_hour_are_refused_with_both_readings(text: str, parts: list[str]) -> None:
    with pytest.raises(WrongUse) as refused:
        read_moment(text, LONDON)
    assert all(part in refused.value.sentence for part in parts)


@pytest.mark.parametrize(
    "text", ["2026-03-29T00:59:59", "2026-03-29T02:00", "2026-10-25T00:59", "2026-10-25T02:00"]
)
def test_the_minutes_beside_a_clock_change_are_taken(text: str) -> None:
    assert read_moment(text, LONDON).text().startswith(text)


@pytest.mark.parametrize("text", ["0001-01-01T00:00", "9999-12-31T23:59"])
def test_a_time_at_the_ends_of_the_calendar_is_refused_as_what_it_is(text: str) -> None:
    with pytest.raises(WrongUse, match="years 2 to 9998"):
        read_moment(text, LONDON)


WRONG = [
    "",
    "yesterday",
    "2026-13-01",
    "2026-11-22T25:00",
    "2026-11-22T03:10+99:00",
    "12:00",
    "٢٠٢٦-11-22",
    "0001-01-01T00:00+14:00",
]


@pytest.mark.parametrize("text", WRONG)
def test_what_is_no_time_is_refused_by_name(text: str) -> None:
    with pytest.raises(WrongUse) as refused:
        read_moment(text, LONDON)
    assert f"“{text}”" in refused.value.sentence


def test_answers_are_in_whole_seconds_of_the_home_zone() -> None:
    instant = read_moment("2026-06-22T03:10:30.999Z", LONDON).instant
    assert home_text(instant, LONDON) == "2026-06-22T04:10:30+01:00"
