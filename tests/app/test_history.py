"""A part of a long record answers like the whole: its sheets' flags, its kit."""

from collections.abc import Iterator
from datetime import timedelta

import pytest

from carelog.analysis.flags.period import flags
from carelog.analysis.in_force import Reading
from carelog.analysis.kit import kit
from carelog.analysis.learnt import learnt_band
from carelog.analysis.past import PastWindow
from carelog.analysis.period import period
from carelog.analysis.plans import plans
from carelog.analysis.week import Review
from carelog.app.demo import demo_entries
from carelog.app.history import Sources, history, next_after, of_days, of_sheets
from carelog.commands.paper import made, made_together
from carelog.domain.moment import DAY_24_H, Home, Moment, Week
from carelog.domain.paper import SheetRequest, Span
from carelog.sheet import make
from carelog.store.record import StoredRecord
from tests.app.books import desk_in
from tests.detection.steady import Steady, moment
from tests.ui.household import Memory

NOW = Moment.read("2026-11-25T12:40:00+00:00").instant
WEEK = 7 * DAY_24_H
ASKED = [
    SheetRequest(week=Week(2026, 46), now=NOW),
    SheetRequest(week=Week(2026, 48), now=NOW),
    SheetRequest(week=Week(2026, 46), now=NOW, at=NOW - WEEK),
]
ASKED_IDS = ["a week that is over", "this week", "as at a moment"]


@pytest.fixture(scope="module")
def household(tmp_path_factory: pytest.TempPathFactory) -> Iterator[StoredRecord]:
    with desk_in(tmp_path_factory.mktemp("demo")) as desk:
        desk.record.append(demo_entries(NOW))
        yield desk.record


@pytest.mark.parametrize("back", [0, 3 * WEEK])
def test_the_kit_of_a_moment_is_the_same(back: int, household: StoredRecord) -> None:
    end = NOW - back
    part, whole = history(household, end - WEEK, end), household.everything()
    assert kit(Reading(part, end), end).json() == kit(Reading(whole, end), end).json()


def test_the_flags_of_a_sheet_are_those_of_the_whole_record(household: StoredRecord) -> None:
    home = Home("Europe/London")
    days = [home.day(NOW) - timedelta(days=number) for number in range(13, 6, -1)]
    start, end = home.start_of(days[0]), home.end_of(days[-1])
    found = of_days(household, days)
    assert found.find_flags(found.entries, start, end) == flags(household.everything(), start, end)


def test_weeks_asked_for_in_turn_from_one_reading_have_the_flags_that_each_has_alone(
    household: StoredRecord,
) -> None:
    weeks = [Week(2026, number) for number in (45, 46, 47)]
    home = Home("Europe/London")
    sources = of_sheets(household, [week.days() for week in weeks])
    found = []
    for week in (*weeks, weeks[1]):  # and one further back again
        start, end = home.week(week)
        found.append(sources.find_flags(sources.entries, start, end))
        assert found[-1] == flags(household.everything(), start, end)
    assert len(set(map(len, found))) > 1, "they differ"


def learnt(found: Sources, request: SheetRequest) -> dict[int, tuple[int, int] | None]:
    """What was usual at the end of a request's days, learnt from the entries themselves."""
    reading = Reading(found.entries, request.at)
    span = period(reading, request.days(Span.WEEK), 0, request.now if request.at is None else request.at)
    review = Review(reading, found.entries, span, plans(reading))
    return {span.judged: learnt_band(review)}


@pytest.mark.parametrize("request_", ASKED, ids=ASKED_IDS)
def test_what_was_usual_comes_with_the_flags_and_is_what_the_entries_teach(
    request_: SheetRequest, household: StoredRecord, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = of_days(household, request_.days(Span.WEEK), request_.now, request_.at)
    assert found.usual == learnt(found, request_)
    assert None not in found.usual.values()
    monkeypatch.setattr("carelog.analysis.learnt.Usuals", lambda _diary: pytest.fail("learnt anew"))
    pdf = make(request_, found.entries, find_flags=found.find_flags, usual=found.usual)
    assert pdf.startswith(b"%PDF")


def late(kind: str, day: float, known: float) -> Steady:
    """Ten even weeks in which something of one day became known on a later one."""
    household = Steady()
    household.days(0, 70)
    household.write(day, kind, known=known)
    return household


@pytest.mark.parametrize(
    ("day", "known"), [(45, 57), (50, 63), (57, 54)], ids=["before it", "of the week", "from a clock ahead"]
)
def test_what_became_known_at_another_time_than_it_happened_is_learnt_from_anew(
    day: float, known: float
) -> None:
    """Days 49 to 55 are a week that is over: what came to be known about it later counts, as on any page."""
    home, days = Home("UTC"), [Home("UTC").day(moment(number)) for number in range(49, 56)]
    calm = of_days(Memory(entries=late("mouth_care", 52.5, 52.5).entries), days)
    assert calm.usual == learnt(calm, SheetRequest(until=days[-1])) != {}
    asked = of_days(Memory(entries=late("suction", day, known).entries), days)
    assert home.end_of(days[-1]) not in asked.usual


def test_the_first_entry_after_a_sheets_days_is_read_too_since_it_ends_their_last_night(
    household: StoredRecord,
) -> None:
    days = Week(2026, 46).days()
    end, rest = Home("Europe/London").end_of(days[-1]), Reading(household.everything()).held
    first = next(held for held in rest if held.time >= end)
    assert first.entry in of_days(household, days).entries
    assert next_after(household, end, first.known - 1) != list(first.chain)
    assert next_after(household, NOW + DAY_24_H) == []


def test_a_sheet_drawn_with_others_has_the_same_bytes_as_by_itself(household: StoredRecord) -> None:
    wanted = [SheetRequest(week=Week(2026, number)) for number in (46, 47)]
    assert list(made_together(wanted, household)) == [made(each, household) for each in wanted]


@pytest.mark.parametrize("request_", ASKED, ids=ASKED_IDS)
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
