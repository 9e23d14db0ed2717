"""What the plan asked for in a week and what became of it, by hand-made weeks of November 2026."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carelog.analysis.due import dues
from carelog.analysis.in_force import Reading
from carelog.analysis.period import known_by, period
from carelog.analysis.plans import plans
from carelog.analysis.rounds import RoundState, asked
from carelog.analysis.week import Review
from carelog.domain.due import DueState
from carelog.domain.entry import Entry
from carelog.domain.moment import HOUR, MINUTE, Moment, Week, utc_text
from tests.sheet.pages import entry, running, sheet

W47 = Week(2026, 47)
START = Moment.read("2026-11-16T00:00:00Z").instant


def review(entries: list[Entry]) -> Review:
    """The week's review, all of it known."""
    after = entry(9999, "2026-11-23T12:00:00Z", "note", note="after")
    found = [*entries, after]
    reading = Reading(found)
    return Review(reading, found, period(reading, W47.days(), known_by(found, None)), plans(reading))


def plan(*tasks: dict[str, Any], number: int = 1, when: str = "2026-11-01T06:00:00Z", **more: Any) -> Entry:
    return entry(number, when, "plan", details={"set_by": "a nurse", "tasks": list(tasks), **more})


def told(entries: list[Entry], place: int = 0) -> list[str]:
    """Each round as its day and time and what became of it."""
    rounds = sorted(asked(review(entries))[place].rounds, key=lambda each: each.at)
    return [f"{utc_text(each.at)[8:16].replace('T', ' ')} {each.state.value}" for each in rounds]


def ties(*times: str) -> list[Entry]:
    return [
        entry(10 + n, f"2026-11-{time[:2]}T{time[3:]}:00Z", "ties", details={"action": "checked"})
        for n, time in enumerate(times)
    ]


DAILY = {"kind": "ties", "every_h": 24}
AT_NINE = {"kind": "ties", "times": ["09:00"]}


def test_by_hours_done_in_time_late_and_passed_by() -> None:
    found = told(
        [
            plan(DAILY),
            *ties("15 09:00", "16 09:30", "17 11:00", "19 12:00", "20 12:00", "21 12:00", "22 12:00"),
        ]
    )
    assert found == [
        "16 09:30 done",
        "17 11:00 late",
        "18 11:00 not recorded",
        "19 12:00 done",
        "20 12:00 done",
        "21 12:00 done",
        "22 12:00 done",
    ]


def test_by_hours_never_done_each_interval_is_not_recorded() -> None:
    found = told([plan(DAILY, when="2026-11-15T06:00:00Z")])
    assert found == [f"{day} 06:00 not recorded" for day in range(16, 23)]


def test_at_set_times_a_slot_is_done_from_an_hour_before_it_until_an_hour_before_the_next() -> None:
    found = told([plan(AT_NINE), *ties("16 08:00", "17 07:59", "18 10:00", "19 10:01", "21 07:00")])
    assert found == [
        "16 08:00 done",
        "17 09:00 not recorded",
        "18 10:00 done",
        "19 10:01 late",
        "21 07:00 late",
        "21 09:00 not recorded",
        "22 09:00 not recorded",
    ]


def test_slots_before_the_task_began_are_not_asked_for() -> None:
    assert told([plan(AT_NINE, when="2026-11-20T09:30:00Z")]) == [
        "21 09:00 not recorded",
        "22 09:00 not recorded",
    ]


def test_nothing_is_asked_for_during_a_stay() -> None:
    stay = [
        entry(50, "2026-11-17T10:00:00Z", "stay", details={"action": "start"}),
        entry(51, "2026-11-21T10:00:00Z", "stay", details={"action": "end"}),
    ]
    assert told([plan(AT_NINE), *ties("16 09:00", "17 09:00", "22 09:05"), *stay]) == [
        "16 09:00 done",
        "17 09:00 done",
        "22 09:05 done",
    ]


def test_no_cuff_pressure_is_asked_for_while_the_cuff_is_down() -> None:
    tube = entry(
        40, "2026-11-01T05:00:00Z", "tube_change", details={"id_mm": 8, "cuff": "air", "inner_tube": "none"}
    )
    down = entry(41, "2026-11-16T07:00:00Z", "cuff_state", details={"state": "down"})
    up = entry(42, "2026-11-21T07:00:00Z", "cuff_state", details={"state": "up"})
    found = told([plan({"kind": "cuff_pressure", "times": ["09:00"]}), tube, down, up])
    assert found == ["21 09:00 not recorded", "22 09:00 not recorded"]


def test_a_plan_without_the_task_stops_asking_and_a_new_task_begins() -> None:
    second = plan({"kind": "mouth_care", "times": ["09:00"]}, number=2, when="2026-11-19T12:00:00Z")
    entries = [plan(AT_NINE), second, *ties("16 09:00", "17 09:00", "18 09:00", "19 09:00")]
    assert told(entries, 0) == ["16 09:00 done", "17 09:00 done", "18 09:00 done", "19 09:00 done"]
    assert told(entries, 1) == [f"{day} 09:00 not recorded" for day in (20, 21, 22)]


def test_a_stuck_inner_tube_is_no_doing() -> None:
    stuck = entry(30, "2026-11-16T09:00:00Z", "inner_tube", details={"outcome": "stuck"})
    assert told([plan({"kind": "inner_tube", "times": ["09:00"]}), stuck])[0] == "16 09:00 not recorded"


@given(st.lists(st.integers(0, 7 * 24 * 60 - 1), max_size=25, unique=True), st.sampled_from([6, 8, 12, 24]))
def test_a_round_is_not_recorded_or_late_just_when_the_due_list_said_late(
    minutes: list[int], every: int
) -> None:
    begin = plan({"kind": "ties", "every_h": every}, when="2026-11-15T22:00:00Z")
    done = [
        entry(10 + n, utc_text(START + m * MINUTE), "ties", details={"action": "checked"})
        for n, m in enumerate(minutes)
    ]
    week = review([begin, *done])
    rounds = asked(week)[0].rounds
    assert [each.state for each in rounds if each.done_at is not None].count(RoundState.LATE) <= len(done)
    assert len([each for each in rounds if each.done_at is not None]) == len(done)
    for one in rounds:
        if one.done_at is None:
            at = min(one.due_at + HOUR + MINUTE, week.period.end - 1)
            known = Reading([begin, *[each for each in done if each.at.instant <= at]])
            assert dues(known, at)[0].state is DueState.LATE


@pytest.mark.parametrize("quiet", [["23:00", "06:00"], ["00:00", "05:00"]])
def test_quiet_hours_move_a_due_and_nothing_in_them_is_late(quiet: list[str]) -> None:
    begin = plan({"kind": "ties", "every_h": 8, "grace_min": 60}, quiet=quiet)
    found = told(
        [begin, *ties("16 06:00", "16 14:00", "16 22:00", "17 06:00", "17 14:00", "17 22:00", "18 06:00")]
    )
    assert all(each.endswith("done") for each in found[:7])


EVERY_8 = plan({"kind": "ties", "every_h": 8, "grace_min": 60}, quiet=["23:00", "07:00"])
TWICE = plan({"kind": "ties", "times": ["14:00", "23:30"], "grace_min": 60})


def test_a_week_that_is_over_has_nothing_due() -> None:
    hours = [EVERY_8, *ties("22 14:22")]
    assert told(hours)[-1] == "22 22:22 not recorded"
    slots = [TWICE, *ties("22 14:00")]
    assert told(slots)[-1] == "22 23:30 not recorded"


def test_what_was_done_after_the_weeks_end_in_time_is_the_next_weeks() -> None:
    done = entry(90, "2026-11-23T06:10:00Z", "ties", details={"action": "checked"})
    hours = [EVERY_8, *ties("22 14:22"), done]
    assert told(hours)[-1] == "22 14:22 late"
    slots = [TWICE, *ties("22 14:00"), done]
    assert told(slots)[-1] == "22 14:00 done"


def test_a_day_whose_task_was_done_on_the_next_one_is_not_one_on_which_it_was_not_asked_for() -> None:
    times = ("16T09:30", "17T09:25", "18T09:28", "20T09:20", "21T09:22", "22T09:25")
    done = [
        entry(n, f"2026-11-{time}:00Z", "ties", details={"action": "checked"})
        for n, time in enumerate(times, 10)
    ]
    ties = plan({"kind": "ties", "every_h": 24, "grace_min": 120})
    text = running(sheet([ties, *done], W47))
    assert "due 09:28, done Fri 20" in text
    assert "overdue, done 09:20" in text
    assert "not asked for" not in text
