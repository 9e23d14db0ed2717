"""What is due where clauses meet: quiet spans, slots, new plans, cuff, tube, stays, both clock changes."""

from pathlib import Path
from typing import Any

import pytest

from tests.journeys.household import Household, carelog

Line = dict[str, Any]
PERSON: Line = {
    "kind": "person",
    "at": "2026-01-01T00:00Z",
    "details": {"name": "Odette Farrow", "home_zone": "Europe/London"},
}
FIRST = "2026-11-01T00:00Z"
QUIET = ["23:00", "06:00"]
EVERY_4: Line = {"kind": "inner_tube", "every_h": 4}
EVERY_8: Line = {"kind": "inner_tube", "every_h": 8}
CUFF: Line = {"kind": "cuff_pressure", "every_h": 12}


def line(at: str, kind: str, **details: Any) -> Line:
    """An entry as a line of the exchange file."""
    return {"kind": kind, "at": at, "details": details}


def done(at: str) -> Line:
    """An inner tube that was looked at."""
    return line(at, "inner_tube", outcome="clear")


def plan(at: str, *tasks: Line, **more: Any) -> Line:
    """A plan of these tasks."""
    return line(at, "plan", set_by="a nurse", tasks=list(tasks), **more)


def slots(*times: str, **more: Any) -> Line:
    """An inner tube to be looked at at these times."""
    return {"kind": "inner_tube", "times": list(times), **more}


def tube(at: str, cuff: str = "air", **more: Any) -> Line:
    """A tube change."""
    return line(at, "tube_change", id_mm=8, cuff=cuff, inner_tube="none", **more)


def pressure(at: str, value: float, **more: Any) -> Line:
    """A cuff pressure in cmH2O."""
    return line(at, "cuff_pressure", value=value, unit="cmH2O", **more)


def quiet(last: str) -> list[Line]:
    """A task of every 4 h, quiet from 23:00 to 06:00, last done at this time of 2 November."""
    return [plan(FIRST, EVERY_4, quiet=QUIET), done(f"2026-11-02T{last}Z")]


NEW_PLAN = [plan(FIRST, EVERY_8), done("2026-11-01T06:00Z"), plan("2026-11-01T12:00Z", EVERY_4)]
WRITTEN_OUT = {**EVERY_4, "grace_min": 60, "early_min": 60, "where": {}}
SAME_PLAN = [plan(FIRST, EVERY_4), done("2026-11-01T06:00Z"), plan("2026-11-01T11:30Z", WRITTEN_OUT)]
TWICE = plan(FIRST, slots("08:00", "20:00"))
DOWN_AND_UP = [
    plan(FIRST, CUFF),
    tube(FIRST),
    pressure("2026-11-01T20:00Z", 25),
    line("2026-11-02T08:00Z", "cuff_state", state="down"),
    line("2026-11-02T10:00Z", "cuff_state", state="up"),
]
STAY = [
    plan(FIRST, EVERY_4),
    done("2026-11-01T08:00Z"),
    line("2026-11-01T09:00Z", "stay", action="start"),
    line("2026-11-04T08:00Z", "stay", action="end"),
]
GAP = [
    plan(FIRST, EVERY_4, quiet=QUIET),
    done("2026-11-01T08:00Z"),
    line("2026-11-04T20:30Z", "gap", since="2026-11-01T09:00:00+00:00"),
]
OUT = [
    plan(FIRST, EVERY_4, {"kind": "mouth_care", "every_h": 8}),
    tube(FIRST),
    done("2026-11-01T08:00Z"),
    line("2026-11-01T08:00Z", "mouth_care"),
    line("2026-11-02T08:00Z", "decannulation", planned=True),
]
BACK = [*OUT, tube("2026-11-05T08:00Z")]
AUTUMN, SPRING = "2026-10-01T00:00+01:00", "2026-03-01T00:00Z"

CASES: dict[str, tuple[list[Line], str, str | None]] = {
    "due at midnight, it moves to the start of the quiet span": (
        quiet("20:00"),
        "2026-11-02T22:30",
        "2026-11-02T23:00:00+00:00 soon",
    ),
    "moved to the start, it isn't late within the span": (
        quiet("20:00"),
        "2026-11-03T05:59:59",
        "2026-11-02T23:00:00+00:00 due",
    ),
    "but late at its end": (quiet("20:00"), "2026-11-03T06:00", "2026-11-02T23:00:00+00:00 late"),
    "done shortly before, it moves to the end": (
        quiet("21:30"),
        "2026-11-03T05:00",
        "2026-11-03T06:00:00+00:00 soon",
    ),
    "and late an hour after": (quiet("21:30"), "2026-11-03T07:00", "2026-11-03T06:00:00+00:00 late"),
    "done exactly half the interval before, it moves to the start": (
        quiet("21:00"),
        "2026-11-03T01:30",
        "2026-11-02T23:00:00+00:00 due",
    ),
    "due at the very end of the span, it stays": (
        quiet("02:00"),
        "2026-11-02T05:30",
        "2026-11-02T06:00:00+00:00 soon",
    ),
    "a task's own null takes the plan's quiet away": (
        [plan(FIRST, {**EVERY_4, "quiet": None}, quiet=QUIET), done("2026-11-02T20:00Z")],
        "2026-11-03T01:00",
        "2026-11-03T00:00:00+00:00 late",
    ),
    "a new interval counts from the last doing, and isn't late before the plan's grace": (
        NEW_PLAN,
        "2026-11-01T12:59",
        "2026-11-01T10:00:00+00:00 due",
    ),
    "then it is late": (NEW_PLAN, "2026-11-01T13:00", "2026-11-01T10:00:00+00:00 late"),
    "defaults written out are no change": (SAME_PLAN, "2026-11-01T11:45", "2026-11-01T10:00:00+00:00 late"),
    "a doing an hour before a slot meets it": (
        [TWICE, done("2026-11-02T07:00Z")],
        "2026-11-02T08:30",
        "2026-11-02T20:00:00+00:00 later",
    ),
    "a doing earlier than that doesn't": (
        [TWICE, done("2026-11-02T06:59Z")],
        "2026-11-02T08:30",
        "2026-11-02T08:00:00+00:00 due",
    ),
    "a doing before the next slot opens meets the one before alone": (
        [TWICE, done("2026-11-02T18:59Z")],
        "2026-11-02T19:00",
        "2026-11-02T20:00:00+00:00 soon",
    ),
    "a slot before the start isn't asked for": (
        [plan("2026-11-01T08:00:01Z", slots("08:00", "20:00"))],
        "2026-11-01T08:10",
        "2026-11-01T20:00:00+00:00 later",
    ),
    "asked for at 00:30 it gets late at night": (
        [plan(FIRST, slots("00:30"), quiet=QUIET)],
        "2026-11-02T01:30",
        "2026-11-02T00:30:00+00:00 late",
    ),
    "with the cuff down no pressure is asked for": (DOWN_AND_UP, "2026-11-02T09:00", None),
    "put up again, it isn't late at once": (
        DOWN_AND_UP,
        "2026-11-02T10:59",
        "2026-11-02T08:00:00+00:00 due",
    ),
    "but after its grace": (DOWN_AND_UP, "2026-11-02T11:00", "2026-11-02T08:00:00+00:00 late"),
    "a cuff emptied by the reading itself is down; 3 cmH2O found says nothing": (
        [
            plan(FIRST, CUFF),
            tube(FIRST),
            pressure("2026-11-01T20:00Z", 25, value_after=0),
            pressure("2026-11-01T21:00Z", 3),
        ],
        "2026-11-02T10:30",
        None,
    ),
    "a failed change to a tube without a cuff changes nothing": (
        [plan(FIRST, CUFF), tube(FIRST), tube("2026-11-01T02:00Z", "none", ease="failed")],
        "2026-11-01T11:30",
        "2026-11-01T12:00:00+00:00 soon",
    ),
    "an air cuff after a tube without one starts the task": (
        [plan(FIRST, CUFF), tube(FIRST, "none"), tube("2026-11-02T18:00Z")],
        "2026-11-02T18:30",
        "2026-11-03T06:00:00+00:00 later",
    ),
    "a tube of last month, written down today, isn't the one in place": (
        [
            plan(FIRST, CUFF),
            tube(FIRST),
            {**tube("2026-10-01T21:00Z", "none"), "recorded_at": "2026-11-01T09:00Z"},
        ],
        "2026-11-01T11:30",
        "2026-11-01T12:00:00+00:00 soon",
    ),
    "in a stay nothing is asked for": (STAY, "2026-11-02T08:00", None),
    "a stay's end counts as if it had been done then": (
        STAY,
        "2026-11-04T11:30",
        "2026-11-04T12:00:00+00:00 soon",
    ),
    "and what is due then gets late as ever": (STAY, "2026-11-04T13:00", "2026-11-04T12:00:00+00:00 late"),
    "a doing inside the stay counts for nothing more than its end": (
        [*STAY, done("2026-11-03T08:00Z")],
        "2026-11-04T08:00",
        "2026-11-04T12:00:00+00:00 later",
    ),
    "a doing after it counts from then": (
        [*STAY, done("2026-11-04T09:00Z")],
        "2026-11-04T10:00",
        "2026-11-04T13:00:00+00:00 later",
    ),
    "a slot is asked for again from a stay's end on": (
        [TWICE, *STAY[1:]],
        "2026-11-04T08:00",
        "2026-11-04T08:00:00+00:00 due",
    ),
    "but none from before it": (
        [TWICE, *STAY[2:3], line("2026-11-04T08:01Z", "stay", action="end")],
        "2026-11-04T08:01",
        "2026-11-04T20:00:00+00:00 later",
    ),
    "a gap's end counts as if it had been done then": (
        [plan(FIRST, EVERY_8), *GAP[1:]],
        "2026-11-05T03:00",
        "2026-11-05T04:30:00+00:00 later",
    ),
    "a gap that ended less than half an interval before the quiet span moves it to the span's end": (
        [plan(FIRST, EVERY_8, quiet=QUIET), *GAP[1:]],
        "2026-11-05T03:00",
        "2026-11-05T06:00:00+00:00 later",
    ),
    "half an interval before it, to its start": (
        GAP,
        "2026-11-04T22:30",
        "2026-11-04T23:00:00+00:00 soon",
    ),
    "during a gap that isn't written down yet it is late as ever": (
        [*GAP[:2], {**GAP[2], "recorded_at": "2026-11-04T20:30Z"}],
        "2026-11-04T20:29",
        "2026-11-01T12:00:00+00:00 late",
    ),
    "slots before a gap's end aren't asked for": (
        [TWICE, GAP[2]],
        "2026-11-04T20:30",
        "2026-11-05T08:00:00+00:00 later",
    ),
    "without a tube nothing of the tube is asked for": (
        OUT,
        "2026-11-02T08:00",
        "2026-11-01T16:00:00+00:00 late",
    ),
    "a tube placed again counts as if it had been done then": (
        [plan(FIRST, EVERY_4), *BACK[1:]],
        "2026-11-05T08:00",
        "2026-11-05T12:00:00+00:00 later",
    ),
    "a failed change after a decannulation places none": (
        [plan(FIRST, EVERY_4), *OUT[1:], tube("2026-11-05T08:00Z", ease="failed")],
        "2026-11-05T08:00",
        None,
    ),
    "a slot from before a tube was placed again isn't asked for": (
        [TWICE, *BACK[1:]],
        "2026-11-05T08:00:00",
        "2026-11-05T08:00:00+00:00 due",
    ),
    "another tube after that moves nothing": (
        [plan(FIRST, EVERY_4), *BACK[1:], done("2026-11-05T08:30Z"), tube("2026-11-05T10:00Z")],
        "2026-11-05T10:00",
        "2026-11-05T12:30:00+00:00 later",
    ),
    "the pressure of a cuff placed again is asked for a whole interval later": (
        [plan(FIRST, CUFF), *BACK[1:], pressure("2026-11-01T20:00Z", 25)],
        "2026-11-05T09:00",
        "2026-11-05T20:00:00+00:00 later",
    ),
    "an end without a start moves nothing": (
        [plan(FIRST, EVERY_4), done("2026-11-01T08:00Z"), line("2026-11-01T12:50Z", "stay", action="end")],
        "2026-11-01T13:10",
        "2026-11-01T12:00:00+00:00 late",
    ),
    "hours are elapsed hours when the clocks go back": (
        [plan(AUTUMN, EVERY_8), done("2026-10-24T23:00+01:00")],
        "2026-10-25T05:30",
        "2026-10-25T06:00:00+00:00 soon",
    ),
    "a doubled slot is its first": (
        [plan(AUTUMN, slots("01:30"))],
        "2026-10-25T01:30+00:00",
        "2026-10-25T01:30:00+01:00 late",
    ),
    "a slot in the spring gap is the first minute after it": (
        [plan(SPRING, slots("01:30"))],
        "2026-03-29T00:30",
        "2026-03-29T02:00:00+01:00 soon",
    ),
    "a quiet span may be an hour longer": (
        [plan(AUTUMN, EVERY_4, quiet=QUIET), done("2026-10-24T21:30+01:00")],
        "2026-10-25T05:30",
        "2026-10-25T06:00:00+00:00 soon",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_where_clauses_meet_this_is_due(case: str, tmp_path: Path) -> None:
    lines, at, expected = CASES[case]
    record = Household(tmp_path, [PERSON, *lines]).record()
    answer = carelog("due", "--record", str(record), "--at", at, "--json")
    assert answer.status == 0, answer.err
    assert [f"{due['due_at']} {due['state']}" for due in answer.json()] == ([expected] if expected else [])
