"""What the plan asks for, across clock changes, changes of plan, and from a working set."""

from datetime import date, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carelog.analysis.due import Slots, dues
from carelog.analysis.in_force import Reading
from carelog.domain.due import DueState
from carelog.domain.entry import Entry
from carelog.domain.moment import HOUR, MINUTE, Home, Moment
from carelog.domain.plan import Plan, Task
from tests.loading import load

CHANGES = [
    ("Europe/London", date(2026, 3, 29), date(2026, 10, 25)),
    ("America/New_York", date(2026, 3, 8), date(2026, 11, 1)),
    ("Australia/Lord_Howe", date(2026, 10, 4), date(2026, 4, 5)),
]


def written(number: int, kind: str, at: int, zone: str = "Europe/London", **details: object) -> Entry:
    identity = f"00000000-0000-4000-8000-{number:012}"
    return Entry(id=identity, kind=kind, at=Moment(at), recorded_at=at, zone=zone, details=details)


def planned(at: int, task: dict[str, object], zone: str = "Europe/London", number: int = 0) -> Entry:
    return written(number, "plan", at, zone, set_by="a nurse", tasks=[task])


@pytest.mark.parametrize(("zone", "spring", "autumn"), CHANGES)
def test_hours_are_elapsed_time_across_both_clock_changes(zone: str, spring: date, autumn: date) -> None:
    home = Home(zone)
    for day in (spring, autumn):
        evening = home.at(day - timedelta(days=1), time(20))
        entries = [
            planned(evening - 48 * HOUR, {"kind": "mouth_care", "every_h": 12}, zone),
            written(1, "mouth_care", evening, zone),
        ]
        (due,) = dues(Reading(entries), evening)
        assert due.due_at == evening + 12 * HOUR
        assert home.local(due.due_at).time() != time(8)


@pytest.mark.parametrize(
    ("zone", "day", "clock", "shown"),
    [
        ("Europe/London", date(2026, 3, 29), "01:30", "2026-03-29T02:00:00+01:00"),
        ("Europe/London", date(2026, 10, 25), "01:30", "2026-10-25T01:30:00+01:00"),
        ("America/New_York", date(2026, 3, 8), "02:30", "2026-03-08T03:00:00-04:00"),
        ("America/New_York", date(2026, 11, 1), "01:30", "2026-11-01T01:30:00-04:00"),
        ("Australia/Lord_Howe", date(2026, 10, 4), "02:15", "2026-10-04T02:30:00+11:00"),
        ("Australia/Lord_Howe", date(2026, 4, 5), "01:45", "2026-04-05T01:45:00+11:00"),
    ],
)
def test_a_slot_in_the_gap_is_the_first_minute_after_it_and_a_doubled_one_the_first(
    zone: str, day: date, clock: str, shown: str
) -> None:
    home = Home(zone)
    task = Task.of({"kind": "mouth_care", "times": [clock]}, None)
    slots = Slots(home, task).around(home.start_of(day))
    assert [home.moment(s).text() for s in slots if home.day(s) == day] == [shown]


def test_a_task_by_hours_is_not_late_inside_its_quiet_span_but_at_its_end() -> None:
    home = Home("Europe/London")
    evening = home.at(date(2026, 10, 24), time(16, 30))
    task = {"kind": "mouth_care", "every_h": 8, "quiet": ["23:00", "06:00"]}
    entries = [planned(evening - 48 * HOUR, task), written(1, "mouth_care", evening)]
    reading = Reading(entries)
    end = home.at(date(2026, 10, 25), time(6))
    (due,) = dues(reading, end - 1)
    assert (due.due_at, due.state, due.late_at) == (home.at(date(2026, 10, 24), time(23)), DueState.DUE, end)
    assert dues(reading, end)[0].state is DueState.LATE
    assert end - due.due_at == 8 * HOUR


def test_a_task_that_stands_unchanged_in_a_new_plan_keeps_its_start() -> None:
    begin = Home("Europe/London").at(date(2026, 6, 1), time(8))
    bare = {"kind": "mouth_care", "every_h": 8}
    full = {**bare, "grace_min": 60, "where": {}, "quiet": None}
    entries = [planned(begin, bare), planned(begin + 20 * HOUR, full, number=1)]
    assert dues(Reading(entries), begin + 30 * HOUR)[0].state is DueState.LATE
    entries = [planned(begin, bare), planned(begin + 30 * HOUR, {**bare, "every_h": 7}, number=1)]
    (due,) = dues(Reading(entries), begin + 30 * HOUR)
    assert (due.due_at, due.state) == (begin + 37 * HOUR, DueState.LATER)


def test_after_a_new_plan_nothing_is_late_before_its_start_and_grace() -> None:
    begin = Home("Europe/London").at(date(2026, 6, 1), time(8))
    task = {"kind": "mouth_care", "every_h": 8}
    entries = [written(1, "mouth_care", begin), planned(begin + 40 * HOUR, task)]
    reading = Reading(entries)
    assert dues(reading, begin + 41 * HOUR - 1)[0].state is DueState.DUE
    assert dues(reading, begin + 41 * HOUR)[0].state is DueState.LATE


def test_a_plan_in_place_of_the_one_in_force_asks_in_its_stead() -> None:
    begin = Home("Europe/London").at(date(2026, 6, 1), time(8))
    entries = [planned(begin, {"kind": "mouth_care", "every_h": 8})]
    other = Plan.of("", begin, {"set_by": "x", "tasks": [{"kind": "ties", "every_h": 24}]})
    assert [due.kind for due in dues(Reading(entries), begin + HOUR, other)] == ["ties"]


def test_only_entries_that_match_where_do_a_task_and_a_stuck_inner_tube_does_not() -> None:
    begin = Home("Europe/London").at(date(2026, 6, 1), time(8))
    where = {"device": "nebuliser"}
    entries = [
        planned(begin, {"kind": "humidity", "where": where, "every_h": 8}),
        written(1, "humidity", begin + HOUR, device="hme", action="changed"),
        written(2, "humidity", begin + 2 * HOUR, device="nebuliser", action="stopped"),
    ]
    assert dues(Reading(entries), begin + 3 * HOUR)[0].last_at is None
    entries.append(written(3, "humidity", begin + 3 * HOUR, device="nebuliser", action="given"))
    assert dues(Reading(entries), begin + 3 * HOUR)[0].last_at == begin + 3 * HOUR
    entries = [
        planned(begin, {"kind": "inner_tube", "every_h": 8}),
        written(1, "inner_tube", begin + HOUR, outcome="stuck"),
    ]
    assert dues(Reading(entries), begin + 2 * HOUR)[0].last_at is None


@given(st.integers(0, 4 * 7 * 24 * 4))
def test_the_newest_entries_of_each_kind_give_the_same_dues_as_the_whole_record(quarter: int) -> None:
    entries = load("four-weeks.jsonl")
    now = Moment.read("2026-09-28T08:00:00+01:00").instant + quarter * 15 * MINUTE
    known = [e for e in entries if e.recorded_at <= now]
    standing = {"plan", "person", "stay", "tube_change", "cuff_state", "valve"}
    kept = [e for e in known if e.kind in standing]
    for kind in {e.kind for e in known} - standing:
        kept += sorted((e for e in known if e.kind == kind), key=lambda e: e.at.instant)[-8:]
    ids = {e.id for e in kept}
    kept += [e for e in known if e.id not in ids and (e.amends in ids or any(k.amends == e.id for k in kept))]
    assert dues(Reading(kept), now) == dues(Reading(known), now)
