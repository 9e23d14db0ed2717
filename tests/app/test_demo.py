"""The made-up household's record."""

from collections import Counter

import pytest

from carelog.app.demo import PAUSE, demo_entries, demo_person
from carelog.domain.entry import line
from carelog.domain.moment import HOUR, Home, Moment, Week
from carelog.kinds import kind_named
from carelog.store.lines import read_line

HOME = Home("Europe/London")
UNTIL = Moment.read("2026-11-25T12:40:00+00:00").instant


def test_the_same_moment_gives_the_same_lines() -> None:
    assert [line(e) for e in demo_entries(UNTIL)] == [line(e) for e in demo_entries(UNTIL)]


@pytest.mark.parametrize(
    "text",
    ["2026-11-25T12:40:00Z", "2026-10-26T00:10:00Z", "2026-03-30T03:12:00+01:00", "2027-01-03T23:59:00Z"],
)
def test_twelve_full_weeks_and_the_days_since_are_in_it(text: str) -> None:
    until = Moment.read(text).instant
    found = demo_entries(until)
    weeks = Counter(Week.of(HOME.day(e.at.instant)).text() for e in found)
    full = [Week.of(day).text() for day in [HOME.day(until - n * 7 * 24 * HOUR) for n in range(12, 0, -1)]]
    assert all(weeks[week] > 100 for week in full)
    assert max(e.recorded_at for e in found) <= until - PAUSE
    assert max(e.recorded_at for e in found) > until - 12 * HOUR


def test_its_lines_are_those_that_an_import_of_them_would_write() -> None:
    written = [line(e) for e in demo_entries(UNTIL)]
    assert any(".5" in each for each in written)
    assert [line(read_line(each.encode()).entry) for each in written] == written


def test_every_entry_is_one_that_its_kind_takes_and_ids_never_repeat() -> None:
    found = demo_entries(UNTIL)
    for entry in found:
        kind = kind_named(entry.kind)
        assert kind is not None
        assert entry.withdrawn or kind.problems(entry.details) == []
    assert len({e.id for e in found}) == len(found)


def test_the_household_says_that_it_is_made_up() -> None:
    person = next(e for e in demo_entries(UNTIL) if e.kind == "person")
    assert person.details["invented"] is True
    assert person.details["name"] == demo_person().name


def test_the_last_full_week_holds_a_change_a_correction_a_strike_a_late_and_a_paper_entry() -> None:
    start, end = HOME.week(Week.read("2026-W47"))
    week = [e for e in demo_entries(UNTIL) if start <= e.at.instant < end]
    assert any(e.amends and not e.withdrawn for e in week)
    assert any(e.withdrawn for e in week)
    assert any(e.recorded_at - e.at.instant > HOUR for e in week)
    assert any(e.source == "paper" for e in week)
    days = Counter(HOME.day(e.at.instant).weekday() for e in week if e.kind == "suction")
    assert days[5] > 1.5 * days[1]
