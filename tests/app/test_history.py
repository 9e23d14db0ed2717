"""A part of a long record answers like the whole: its sheets' flags, its kit."""

from collections.abc import Iterator
from datetime import timedelta

import pytest

from carelog.analysis.flags.period import flags
from carelog.analysis.in_force import Reading
from carelog.analysis.kit import kit
from carelog.analysis.past import PastWindow
from carelog.app.demo import demo_entries
from carelog.app.history import history, next_after, of_days, of_sheets
from carelog.commands.paper import made, made_together
from carelog.domain.moment import DAY_24_H, Home, Moment, Week
from carelog.domain.paper import SheetRequest
from carelog.store.record import StoredRecord
from tests.app.books import desk_in

NOW = Moment.read("2026-11-25T12:40:00+00:00").instant
WEEK = 7 * DAY_24_H


@pytest.fixture(scope="module")
def household(tmp_path_factory: pytest.TempPathFactory) -> Iterator[StoredRecord]:
    desk = desk_in(tmp_path_factory.mktemp("demo"))
    desk.record.append(demo_entries(NOW))
    yield desk.record
    desk.record.close()


@pytest.mark.parametrize("back", [0, 3 * WEEK])
def test_the_kit_of_a_moment_is_the_same(back: int, household: StoredRecord) -> None:
    end = NOW - back
    part, whole = history(household, end - WEEK, end), household.everything()
    assert kit(Reading(part, end), end).json() == kit(Reading(whole, end), end).json()


def test_the_flags_of_a_sheet_are_those_of_the_whole_record(household: StoredRecord) -> None:
    home = Home("Europe/London")
    days = [home.day(NOW) - timedelta(days=number) for number in range(13, 6, -1)]
    start, end = home.start_of(days[0]), home.end_of(days[-1])
    entries, find = of_days(household, days)
    assert find(entries, start, end) == flags(household.everything(), start, end)


def test_weeks_asked_for_in_turn_from_one_reading_have_the_flags_that_each_has_alone(
    household: StoredRecord,
) -> None:
    weeks = [Week(2026, number) for number in (45, 46, 47)]
    home = Home("Europe/London")
    entries, find = of_sheets(household, [week.days() for week in weeks])
    found = []
    for week in (*weeks, weeks[1]):  # and one further back again
        start, end = home.week(week)
        found.append(find(entries, start, end))
        assert found[-1] == flags(household.everything(), start, end)
    assert len(set(map(len, found))) > 1, "they differ"


def test_the_first_entry_after_a_sheets_days_is_read_too_since_it_ends_their_last_night(
    household: StoredRecord,
) -> None:
    days = Week(2026, 46).days()
    end, rest = Home("Europe/London").end_of(days[-1]), Reading(household.everything()).held
    first = next(held for held in rest if held.time >= end)
    assert first.entry in of_days(household, days)[0]
    assert next_after(household, end, first.known - 1) != list(first.chain)
    assert next_after(household, NOW + DAY_24_H) == []


def test_a_sheet_drawn_with_others_has_the_same_bytes_as_by_itself(household: StoredRecord) -> None:
    wanted = [SheetRequest(week=Week(2026, number)) for number in (46, 47)]
    assert list(made_together(wanted, household)) == [made(each, household) for each in wanted]


@pytest.mark.parametrize(
    "request_",
    [
        SheetRequest(week=Week(2026, 46), now=NOW),
        SheetRequest(week=Week(2026, 48), now=NOW),
        SheetRequest(week=Week(2026, 46), now=NOW, at=NOW - WEEK),
    ],
    ids=["a week that is over", "this week", "as at a moment"],
)
def test_the_flags_of_a_sheet_are_found_in_one_way_through_its_past(
    request_: SheetRequest, household: StoredRecord, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(PastWindow, "_gone_through", lambda *_given: pytest.fail("a second way through"))
    assert made(request_, household).startswith(b"%PDF")


def test_so_are_those_of_weeks_drawn_together(
    household: StoredRecord, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(PastWindow, "_gone_through", lambda *_given: pytest.fail("a second way through"))
    wanted = [SheetRequest(week=Week(2026, number)) for number in (46, 47)]
    assert len(list(made_together(wanted, household))) == 2
