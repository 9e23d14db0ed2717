"""Tasks, limits, kit and readings where clauses of the reading rules meet, on small households."""

from pathlib import Path
from typing import Any

import pytest

from tests.journeys.household import DAY_PLAN, TUBE, Household
from tests.journeys.test_where_clauses_meet import Case, story, suction

ADULT = ("1 00:00", "person", {"name": "Odette Farrow", "born": "1950-01-01"})
OFTEN = {**DAY_PLAN, "tasks": [{"kind": "inner_tube", "every_h": 8}]}
SELDOM = {**DAY_PLAN, "tasks": [{"kind": "inner_tube", "every_h": 24}]}
TIMES = {**DAY_PLAN, "tasks": [{"kind": "inner_tube", "times": ["08:00", "20:00"]}]}
HME = {"device": "hme", "action": "changed"}
HME_PLAN = {**DAY_PLAN, "tasks": [{"kind": "humidity", "where": {"device": "hme"}, "every_h": 24}]}
CLEAR = {"outcome": "clear"}
MACHINE = {"device": "suction_machine", "works": True}
NEBULISER = {"device": "nebuliser", "works": True}
LIMITS: dict[str, Any] = {
    **DAY_PLAN,
    "limits": {
        "temperature_c": {"high": 37.5},
        "spo2_percent": {"low": 92},
        "pulse_per_min": {"low": 50, "high": 110},
        "vacuum": {"high": 120, "unit": "mmHg"},
    },
}


def stoma(at: str, *known: str, **details: Any) -> tuple[Any, ...]:
    """A stoma care."""
    return (at, "stoma", details, *known)


def vacuum(at: str, value: float, unit: str) -> tuple[Any, ...]:
    """A suction with its vacuum."""
    return suction(at, vacuum=value, vacuum_unit=unit)


TASKS: dict[str, Case] = {
    "a new plan takes neither the lateness away nor moves its call": (
        "overdue",
        story(
            ("1 00:00", "plan", OFTEN),
            ("1 08:00", "inner_tube", CLEAR),
            ("1 18:00", "plan", SELDOM),
            ("2 03:00", "inner_tube", CLEAR),
            ("3 03:00", "inner_tube", CLEAR),
            ("3 03:10", "plan", DAY_PLAN),
        ),
        [("inner_tube", "call", "1 17:00", "2 03:00", "entry")],
    ),
    "a plan without the task ends it": (
        "overdue",
        story(("1 00:00", "plan", OFTEN), ("1 08:00", "inner_tube", CLEAR), ("1 18:00", "plan", DAY_PLAN)),
        [("inner_tube", "note", "1 17:00", "1 18:00", "entry")],
    ),
    "a plan from later on without the task ends it by time": (
        "overdue",
        story(
            ("1 00:00", "plan", OFTEN),
            ("1 08:00", "inner_tube", CLEAR),
            ("1 12:00", "plan", {**DAY_PLAN, "from": "2026-11-01T18:00:00+00:00"}),
        ),
        [("inner_tube", "note", "1 17:00", "1 18:00", "time")],
    ),
    "a stuck inner tube isn't a doing": (
        "overdue",
        story(
            ("1 00:00", "plan", OFTEN),
            ("1 08:00", "inner_tube", CLEAR),
            ("1 16:00", "inner_tube", {"outcome": "stuck"}),
            ("1 18:00", "inner_tube", CLEAR),
            ("1 18:10", "plan", DAY_PLAN),
        ),
        [("inner_tube", "note", "1 17:00", "1 18:00", "entry")],
    ),
    "a doing written down late shows that it was late until then": (
        "overdue",
        story(
            ("1 00:00", "plan", OFTEN),
            ("1 08:00", "inner_tube", CLEAR),
            ("1 15:00", "inner_tube", CLEAR, "1 19:00"),
            ("1 19:10", "plan", DAY_PLAN),
        ),
        [("inner_tube", "note", "1 17:00", "1 19:00", "entry")],
    ),
    "a doing struck out makes it late at that moment": (
        "overdue",
        story(
            ("1 00:00", "plan", OFTEN),
            ("1 08:00", "inner_tube", CLEAR),
            ("1 16:00", "inner_tube", CLEAR),
            (3, "1 20:00", None),
            ("1 21:00", "inner_tube", CLEAR),
            ("1 21:10", "plan", DAY_PLAN),
        ),
        [("inner_tube", "note", "1 20:00", "1 21:00", "entry")],
    ),
    "two slots late in a row call; an early doing meets the second": (
        "overdue",
        story(
            ("1 00:00", "plan", TIMES),
            ("2 06:00", "inner_tube", CLEAR),
            ("2 07:00", "inner_tube", CLEAR),
            ("2 19:00", "inner_tube", CLEAR),
            ("2 20:00", "plan", DAY_PLAN),
        ),
        [("inner_tube", "call", "1 09:00", "2 06:00", "entry")],
    ),
    "a task with a where is named by its values": (
        "overdue",
        story(
            ("1 00:00", "plan", HME_PLAN),
            ("1 08:00", "humidity", HME),
            ("2 08:00", "humidity", {"device": "nebuliser", "action": "given"}),
            ("2 08:10", "humidity", {**HME, "action": "stopped"}),
            ("2 10:00", "humidity", HME),
            ("2 10:10", "plan", DAY_PLAN),
        ),
        [("humidity:hme", "note", "2 09:00", "2 10:00", "entry")],
    ),
}

READINGS: dict[str, Case] = {
    "a stoma is better only when every worsened field is, in one entry": (
        "stoma_worse",
        story(
            stoma("2 08:00", skin="red"),
            stoma("3 08:00", pain=3),
            stoma("4 08:00", skin="whole"),
            stoma("5 08:00", skin="whole", pain=0),
        ),
        [(None, "call", "2 08:00", "5 08:00", "entry")],
    ),
    "redness more than 7 days after the last is new": (
        "stoma_worse",
        story(stoma("1 08:00", skin="red"), stoma("1 09:00", skin="whole"), stoma("9 09:01", skin="red")),
        [(None, "note", "1 08:00", "1 09:00", "entry"), (None, "note", "9 09:01", None, None)],
    ),
    "a fever during it makes it a call": (
        "stoma_worse",
        story(
            stoma("2 08:00", skin="red"),
            ("2 10:00", "observations", {"temperature_c": 38.2}),
            ("2 12:00", "observations", {"temperature_c": 37}),
        ),
        [(None, "call", "2 08:00", "9 08:00", "time")],
    ),
    "fluid from the tube stands outside the scale": (
        "stoma_worse",
        story(stoma("2 08:00", fluid="coloured", fluid_from="tube")),
        [],
    ),
    "redness that doesn't fade calls": (
        "stoma_worse",
        story(
            stoma("2 08:00", skin="red", redness_fades=False),
            stoma("2 20:00", skin="whole", redness_fades=True),
        ),
        [(None, "call", "2 08:00", "2 20:00", "entry")],
    ),
    "a smell that went and came again is new": (
        "smell",
        story(
            stoma("2 08:00", smell=True),
            stoma("3 09:00", smell=True),
            stoma("5 08:00", smell=False),
            stoma("6 08:00", smell=True),
        ),
        [(None, "call", "2 08:00", "3 08:00", "time"), (None, "call", "6 08:00", "7 08:00", "time")],
    ),
    "the plan's temperature, read in Fahrenheit; a reading without one ends nothing": (
        "temperature",
        story(
            ("1 00:00", "plan", LIMITS),
            ("2 08:00", "observations", {"temperature_f": 99.5}),
            ("2 09:00", "observations", {"spo2_percent": 97}),
            ("2 10:00", "observations", {"temperature_f": 99.3}),
        ),
        [(None, "call", "2 08:00", "2 10:00", "entry")],
    ),
    "oxygen at the limit is inside": (
        "spo2",
        story(
            ("1 00:00", "plan", LIMITS),
            ("2 08:00", "observations", {"spo2_percent": 91}),
            ("2 09:00", "observations", {"spo2_percent": 92}),
        ),
        [(None, "call", "2 08:00", "2 09:00", "entry")],
    ),
    "a pulse too slow, then too fast, is one": (
        "pulse",
        story(
            ("1 00:00", "plan", LIMITS),
            ("2 08:00", "observations", {"pulse_per_min": 49}),
            ("2 09:00", "observations", {"pulse_per_min": 111}),
            ("2 10:00", "observations", {"pulse_per_min": 110}),
        ),
        [(None, "call", "2 08:00", "2 10:00", "entry")],
    ),
    "a tight catheter isn't ended by one in the mouth": (
        "catheter_not_passed",
        story(
            suction("2 08:00", catheter_passed="tight"),
            suction("2 09:00", route="oral", catheter_passed="freely"),
            suction("2 10:00", catheter_passed="freely"),
        ),
        [(None, "call", "2 08:00", "2 10:00", "entry")],
    ),
    "a stuck inner tube isn't ended by a clean one of before": (
        "stuck_inner_tube",
        story(
            ("2 08:00", "inner_tube", {"outcome": "stuck"}),
            ("2 07:00", "inner_tube", CLEAR, "2 09:00"),
            suction("2 07:30", "2 09:30", breathing_after="harder"),
            ("2 11:00", "inner_tube", {"outcome": "cleaned"}),
        ),
        [(None, "urgent", "2 08:00", "2 11:00", "entry")],
    ),
    "a failed change places no tube, so the old one's date still calls": (
        "tube_age",
        story(
            ("1 00:00", "tube_change", {**TUBE, "next_due": "2026-11-05"}),
            ("4 08:00", "tube_change", {**TUBE, "ease": "failed"}),
            ("6 08:00", "tube_change", {**TUBE, "next_due": "2026-12-05"}),
        ),
        [(None, "call", "2 00:00", "6 08:00", "entry")],
    ),
    "froth without blood is none": ("froth", story(suction("2 08:00", frothy=True, blood="none")), []),
    "16 kPa is at 120 mmHg": (
        "vacuum_high",
        story(("1 00:00", "plan", LIMITS), vacuum("2 08:00", 16, "kPa")),
        [],
    ),
    "16.1 kPa is over 120 mmHg, for a person of any age": (
        "vacuum_high",
        story(("1 00:00", "plan", LIMITS), vacuum("2 08:00", 16.1, "kPa"), vacuum("2 09:00", 120, "mmHg")),
        [(None, "note", "2 08:00", "2 09:00", "entry")],
    ),
    "151 mmHg is over for an adult without a plan, 150 isn't": (
        "vacuum_high",
        story(
            ADULT,
            vacuum("2 08:00", 150, "mmHg"),
            vacuum("2 09:00", 151, "mmHg"),
            vacuum("2 10:00", 20, "kPa"),
        ),
        [(None, "note", "2 09:00", "2 10:00", "entry")],
    ),
    "a suction in the mouth says nothing of a fenestrated tube; the quiet hours do": (
        "fenestrated",
        story(
            ("1 00:00", "plan", {**DAY_PLAN, "quiet": ["23:00", "06:00"]}),
            ("2 08:00", "inner_tube", {"outcome": "replaced", "fitted": "fenestrated"}),
            suction("2 09:00", route="oral"),
            ("3 08:00", "inner_tube", {"outcome": "replaced", "fitted": "plain"}),
        ),
        [(None, "note", "2 23:00", "3 08:00", "entry")],
    ),
}

KIT: dict[str, Case] = {
    "a broken suction machine given back is none": (
        "equipment",
        story(
            ("2 08:00", "equipment_check", {**MACHINE, "works": False}),
            ("2 10:00", "equipment_check", {**MACHINE, "works": False, "given_back": True}),
        ),
        [
            ("suction", "urgent", "2 08:00", "2 10:00", "entry"),
            ("suction_machine", "call", "2 08:00", "2 10:00", "entry"),
        ],
    ),
    "a canister stays full until somebody says that it is emptied": (
        "equipment",
        story(
            ("2 08:00", "equipment_check", {**MACHINE, "canister": "full"}),
            ("2 09:00", "equipment_check", MACHINE),
            ("2 10:00", "equipment_check", {**MACHINE, "canister": "emptied"}),
        ),
        [
            ("suction", "urgent", "2 08:00", "2 10:00", "entry"),
            ("suction_machine", "call", "2 08:00", "2 10:00", "entry"),
        ],
    ),
    "a service is passed from the day after": (
        "equipment",
        story(
            (
                "2 08:00",
                "equipment_check",
                {"device": "nebuliser", "works": True, "next_service": "2026-11-05"},
            )
        ),
        [("nebuliser", "note", "6 00:00", None, None)],
    ),
    "of one name in box and stock the earlier date is told of": (
        "expiry",
        story(
            ("2 08:00", "box_check", {"present": ["gel"], "expiries": {"gel": "2026-11-20"}}),
            ("3 08:00", "stock", {"item": "gel", "count": 2, "expiry": "2026-11-10"}),
            ("12 08:00", "stock", {"item": "gel", "count": 0}),
        ),
        [("gel", "call", "2 08:00", "12 08:00", "entry"), ("gel", "note", "12 08:00", None, None)],
    ),
    "a check without dates drops those of the one before": (
        "expiry",
        story(
            ("2 08:00", "box_check", {"present": ["gel"], "expiries": {"gel": "2026-11-20"}}),
            ("3 08:00", "box_check", {"present": ["gel"]}),
        ),
        [("gel", "note", "2 08:00", "3 08:00", "entry")],
    ),
    "stock grows low with the days, calls when it is lower, and a delivery mends it": (
        "stock_low",
        story(
            ("1 08:30", "mouth_care", {}),
            ("1 09:00", "stock", {"item": "HME", "count": 10}),
            *((f"{day} 08:00", "humidity", HME) for day in range(2, 7)),
            ("6 12:00", "stock", {"item": "HME", "delta": 50, "reason": "delivery"}),
        ),
        [("HME", "call", "4 00:00", "6 12:00", "entry")],
    ),
    "stock on order stays a note": (
        "stock_low",
        story(
            ("1 08:30", "mouth_care", {}),
            ("1 09:00", "stock", {"item": "HME", "count": 10}),
            *((f"{day} 08:00", "humidity", HME) for day in range(2, 6)),
            ("5 12:00", "order", {"item": "HME", "count": 30}),
            ("6 08:00", "humidity", HME),
            ("6 12:00", "stock", {"item": "HME", "delta": 50, "reason": "delivery"}),
        ),
        [("HME", "note", "4 00:00", "6 12:00", "entry")],
    ),
    "an order that should have come is none any more": (
        "stock_low",
        story(
            ("1 08:30", "mouth_care", {}),
            ("1 09:00", "stock", {"item": "HME", "count": 10}),
            *((f"{day} 08:00", "humidity", HME) for day in range(2, 6)),
            ("5 12:00", "order", {"item": "HME", "count": 30, "expected": "2026-11-06"}),
            ("6 08:00", "humidity", HME),
            ("7 12:00", "stock", {"item": "HME", "delta": 50}),
        ),
        [("HME", "call", "4 00:00", "7 12:00", "entry")],
    ),
}
CASES = {**TASKS, **READINGS, **KIT}


@pytest.mark.parametrize("case", CASES)
def test_where_times_and_limits_meet(case: str, tmp_path: Path) -> None:
    rule, build, expected = CASES[case]
    home = Household(tmp_path)
    build(home)
    assert home.flags("1 00:00", "14 00:00", rule) == expected
