"""Quiet hours, set times, grace and states, against the rules written once more and at their edges."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carelog.analysis.due import dues, span_around
from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry
from carelog.domain.moment import HOUR, MINUTE, Home, Instant, Moment
from tests.analysis.notebook import Notebook, at, local, span
from tests.analysis.rhythm import NaiveTask

# A moment near each clock change, and an ordinary day.
AROUND = [
    ("Europe/London", "2026-03-29T01:00:00Z"),
    ("Europe/London", "2026-10-25T01:00:00Z"),
    ("America/New_York", "2026-03-08T07:00:00Z"),
    ("America/New_York", "2026-11-01T06:00:00Z"),
    ("Australia/Lord_Howe", "2026-10-03T15:30:00Z"),
    ("Australia/Lord_Howe", "2026-04-04T15:00:00Z"),
    ("Asia/Tokyo", "2026-06-01T12:00:00Z"),
]
clocks = st.builds(
    lambda hour, minute: f"{hour:02}:{minute:02}", st.integers(0, 23), st.sampled_from([0, 15, 30, 45])
)
quiets = st.none() | st.tuples(clocks, clocks).filter(lambda pair: pair[0] != pair[1])
graces = st.sampled_from([0, 1, 30, 60, 300])
rhythms = st.one_of(
    st.builds(
        NaiveTask, st.just(""), graces, st.sampled_from([30, 45, 90, 240, 480, 720, 1440, 2880]), quiets
    ),
    st.builds(
        NaiveTask,
        st.just(""),
        graces,
        st.none(),
        quiets,
        st.lists(clocks, min_size=1, max_size=4).map(tuple),
        st.sampled_from([0, 15, 60, 120, 600]),
    ),
)
offsets = st.integers(-20 * 4, 20 * 4).map(lambda quarter: quarter * 15 * MINUTE)


def _details(task: NaiveTask) -> dict[str, Any]:
    found: dict[str, Any] = {"kind": "mouth_care", "grace_min": task.grace}
    found["quiet"] = list(task.quiet) if task.quiet else None
    if task.every is not None:
        return {**found, "every_h": task.every / 60}
    return {**found, "times": list(task.times), "early_min": task.early}


def _entry(number: int, kind: str, instant: Instant, zone: str, **details: Any) -> Entry:
    identity = f"00000000-0000-4000-8000-{number:012}"
    return Entry(identity, kind, Moment(instant), instant, zone=zone, details=details)


@given(
    where=st.sampled_from(AROUND),
    task=rhythms,
    start=offsets,
    doings=st.lists(offsets, max_size=3),
    now=offsets,
)
def test_dues_are_what_the_rules_word(
    where: tuple[str, str], task: NaiveTask, start: Instant, doings: list[Instant], now: Instant
) -> None:
    task.zone, around = where[0], Moment.read(where[1]).instant
    start, now = around + min(start, now), around + now
    done = [around + each for each in doings if around + each <= now]
    entries = [_entry(n, "mouth_care", each, task.zone) for n, each in enumerate(done, 1)]
    entries.append(_entry(0, "plan", start, task.zone, set_by="x", tasks=[_details(task)]))
    (due,) = dues(Reading(entries), now)
    assert (due.due_at, due.late_at, due.state.value) == task.due(start, done, now)


@pytest.mark.parametrize(
    ("start", "end", "inside", "outside"),
    [
        ("23:00", "06:00", ["23:00", "00:00", "05:59"], ["22:59", "06:00", "12:00"]),
        ("13:00", "15:00", ["13:00", "14:59"], ["12:59", "15:00", "23:00"]),
        ("00:00", "06:00", ["00:00", "05:59"], ["06:00", "23:59"]),
        ("08:00", "08:00", [], ["08:00", "07:59", "20:00"]),
    ],
)
def test_a_quiet_span_holds_its_start_and_not_its_end_over_midnight_or_not(
    start: str, end: str, inside: list[str], outside: list[str]
) -> None:
    home = Home("Europe/London")
    for clock, is_inside in [(c, True) for c in inside] + [(c, False) for c in outside]:
        found = span_around(home, span(start, end), at(f"3 {clock}"))
        assert (found is not None) is is_inside, clock


def test_a_quiet_span_that_ends_in_the_doubled_hour_ends_the_first_time() -> None:
    home = Home("Europe/London")
    quiet = span("23:00", "01:30")
    end = local(home, "2026-10-25 01:30")
    assert span_around(home, quiet, end - 1) == (local(home, "2026-10-24 23:00"), end)
    assert span_around(home, quiet, end) is None
    assert span_around(home, quiet, end + 40 * MINUTE) is None
    assert home.local(end + 40 * MINUTE).time().hour == 1


@pytest.mark.parametrize(("done", "due"), [("3 19:00", "3 23:00"), ("3 19:01", "4 06:00")])
def test_half_the_interval_before_the_quiet_hours_is_not_less_than_half(done: str, due: str) -> None:
    book = Notebook()
    book.plan("1 00:00", {"kind": "mouth_care", "every_h": 8}, quiet=["23:00", "06:00"])
    book.write(done, "mouth_care")
    assert dues(book.read(), at("3 20:00"))[0].due_at == at(due)


def test_a_task_has_its_own_quiet_hours_or_none_in_place_of_the_plans() -> None:
    book = Notebook()
    tasks: list[dict[str, Any]] = [
        {"kind": "mouth_care", "every_h": 8},
        {"kind": "ties", "every_h": 8, "quiet": None},
        {"kind": "stoma", "every_h": 8, "quiet": ["02:00", "05:00"]},
    ]
    book.plan("3 19:00", *tasks, quiet=["23:00", "06:00"])
    found = {due.kind: due.due_at for due in dues(book.read(), at("3 20:00"))}
    assert found == {"mouth_care": at("3 23:00"), "ties": at("4 03:00"), "stoma": at("4 02:00")}


def test_set_times_are_asked_for_and_get_late_in_the_quiet_hours() -> None:
    book = Notebook()
    book.plan("3 12:00", {"kind": "mouth_care", "times": ["00:30"]}, quiet=["23:00", "06:00"])
    found = dues(book.read(), at("4 01:30"))[0]
    assert (found.due_at, found.late_at, found.state.value) == (at("4 00:30"), at("4 01:30"), "late")


def test_two_set_times_in_the_gap_are_one_slot() -> None:
    home = Home("Europe/London")
    begin = local(home, "2026-03-28 12:00")
    task = {"kind": "mouth_care", "times": ["01:15", "01:45", "09:00"], "early_min": 0}
    entries = [
        _entry(0, "plan", begin, "Europe/London", set_by="x", tasks=[task]),
        _entry(1, "mouth_care", local(home, "2026-03-29 02:00"), "Europe/London"),
    ]
    (due,) = dues(Reading(entries), local(home, "2026-03-29 02:05"))
    assert due.due_at == local(home, "2026-03-29 09:00")


def test_an_absurd_interval_is_due_in_the_last_days_that_can_be_written() -> None:
    book = Notebook()
    book.plan("3 12:00", {"kind": "mouth_care", "every_h": 1e15, "grace_min": 1e15})
    (due,) = dues(book.read(), at("3 12:00"))
    assert Moment(due.due_at).text().startswith("9999-12")
    assert Moment(due.late_at).text().startswith("9999-12")


@pytest.mark.parametrize(
    ("now", "count"),
    [("0001-01-04T00:00:00Z", 2), ("9999-12-24T00:00:00Z", 2), ("9999-12-31T00:00:00Z", 0)],
)
def test_the_ends_of_the_calendar_are_no_trouble(now: str, count: int) -> None:
    moment = Moment.read(now).instant
    tasks = [{"kind": "mouth_care", "times": ["00:30"]}, {"kind": "ties", "every_h": 8}]
    plan = _entry(0, "plan", moment, "Asia/Tokyo", set_by="x", tasks=tasks, quiet=["23:00", "06:00"])
    assert len(dues(Reading([plan]), moment)) == count


def test_the_reason_says_who_did_it_last_how_often_it_is_asked_for_and_what_moved_it() -> None:
    book = Notebook()
    tasks = {"kind": "mouth_care", "every_h": 8}, {"kind": "ties", "times": ["08:00", "20:00"]}
    book.plan("1 00:00", *tasks, quiet=["23:00", "06:00"])
    book.write("3 16:30", "mouth_care", by="MO")
    by_kind = {due.kind: due.why for due in dues(book.read(), at("3 20:30"))}
    words = "Last done 16:30 by MO. The plan asks for it every 8 h. "
    assert by_kind["mouth_care"] == words + "Moved to 23:00 by the quiet hours 23:00 to 06:00."
    never = "Not done yet since the plan asks for it. The plan asks for it at 08:00, 20:00."
    assert by_kind["ties"] == never
    book.write("3 17:30", "mouth_care", by="")
    assert "no name" in dues(book.read(), at("4 20:30"))[0].why + dues(book.read(), at("4 20:30"))[1].why


def test_soon_begins_sixty_minutes_before_the_due() -> None:
    book = Notebook()
    book.plan("3 08:00", {"kind": "mouth_care", "every_h": 8})
    due = at("3 16:00")
    states = [dues(book.read(), due + shift)[0].state.value for shift in (-HOUR - 1, -HOUR, -1, 0, HOUR)]
    assert states == ["later", "soon", "soon", "due", "late"]
