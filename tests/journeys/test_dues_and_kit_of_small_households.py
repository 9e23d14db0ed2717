"""What is due and what the kit's answers are on small households, asked of the whole program."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.journeys.household import DAY_PLAN, TUBE, Household, carelog, clock

QUIET = ["23:00", "06:00"]
TASK = {"kind": "mouth_care", "every_h": 8}
SLOTS = {"kind": "mouth_care", "times": ["08:00", "20:00"]}


def _household(folder: Path, task: dict[str, Any], *doings: str, **plan: Any) -> Household:
    home = Household(folder)
    home.write("1 00:00", "plan", **{**DAY_PLAN, "tasks": [task], **plan})
    for at in doings:
        home.write(at, "mouth_care")
    return home


BY_HOURS = [
    ("1 08:00", "1 14:59", ("1 16:00", "later")),
    ("1 08:00", "1 15:00", ("1 16:00", "soon")),
    ("1 08:00", "1 16:00", ("1 16:00", "due")),
    ("1 08:00", "1 16:59", ("1 16:00", "due")),
    ("1 08:00", "1 17:00", ("1 16:00", "late")),
    ("1 16:30", "1 18:00", ("1 23:00", "later")),
    ("1 16:30", "2 00:30", ("1 23:00", "due")),
    ("1 16:30", "2 05:59", ("1 23:00", "due")),
    ("1 16:30", "2 06:00", ("1 23:00", "late")),
    ("1 20:00", "2 00:30", ("2 06:00", "later")),
    ("1 20:00", "2 06:59", ("2 06:00", "due")),
    ("1 20:00", "2 07:00", ("2 06:00", "late")),
    ("1 22:00", "2 05:00", ("2 06:00", "soon")),
]


@pytest.mark.parametrize(("done", "now", "expected"), BY_HOURS)
def test_a_task_by_hours_moves_out_of_the_quiet_hours(
    done: str, now: str, expected: tuple[str, str], tmp_path: Path
) -> None:
    assert _household(tmp_path, TASK, done, quiet=QUIET).dues(now)["mouth_care"] == expected


BY_TIMES = [
    ((), "1 06:59", ("1 08:00", "later")),
    ((), "1 07:00", ("1 08:00", "soon")),
    ((), "1 09:00", ("1 08:00", "late")),
    ((), "1 19:00", ("1 20:00", "soon")),
    (("1 07:00",), "1 12:00", ("1 20:00", "later")),
    (("1 06:59",), "1 12:00", ("1 08:00", "late")),
    (("1 18:59",), "1 19:30", ("1 20:00", "soon")),
    (("1 19:00",), "1 19:30", ("2 08:00", "later")),
]


@pytest.mark.parametrize(("done", "now", "expected"), BY_TIMES)
def test_a_task_at_set_times_asks_for_the_newest_slot_that_has_opened(
    done: tuple[str, ...], now: str, expected: tuple[str, str], tmp_path: Path
) -> None:
    assert _household(tmp_path, SLOTS, *done).dues(now)["mouth_care"] == expected


def test_a_task_that_was_never_done_counts_as_done_at_its_start(tmp_path: Path) -> None:
    assert _household(tmp_path, TASK).dues("1 02:00") == {"mouth_care": ("1 08:00", "later")}


def test_no_cuff_pressure_is_asked_for_while_the_cuff_is_down(tmp_path: Path) -> None:
    home = _household(tmp_path, {"kind": "cuff_pressure", "every_h": 12})
    home.write("1 01:00", "tube_change", **TUBE)
    assert home.dues("1 02:00") == {"cuff_pressure": ("1 12:00", "later")}
    home.write("1 02:00", "cuff_state", state="down")
    assert home.dues("1 03:00") == {}
    home.write("1 05:00", "cuff_state", state="up")
    assert home.dues("1 06:00") == {"cuff_pressure": ("1 17:00", "later")}


def test_during_a_stay_nothing_is_asked_for(tmp_path: Path) -> None:
    home = _household(tmp_path, TASK, "1 08:00")
    home.write("1 09:00", "stay", action="start", where="hospital")
    assert home.dues("1 18:00") == {}
    home.write("3 09:00", "stay", action="end")
    assert home.dues("3 09:30") == {"mouth_care": ("3 17:00", "later")}
    assert home.dues("3 18:00") == {"mouth_care": ("3 17:00", "late")}


def test_the_catheter_is_the_smaller_of_both_rules_and_the_plans_wins(tmp_path: Path) -> None:
    home = Household(tmp_path)
    home.write("1 00:00", "tube_change", **{**TUBE, "id_mm": 9})
    assert home.kit("2 00:00")["catheter_fr"] == {
        "rule_a": 14,
        "rule_b": 12,
        "suggested": 12,
        "prescribed": None,
    }
    home.write("1 01:00", "plan", **{**DAY_PLAN, "catheter_fr": 14})
    assert home.kit("2 00:00")["catheter_fr"]["prescribed"] == 14


def test_an_inner_tube_of_unknown_id_leaves_the_catheter_unknown(tmp_path: Path) -> None:
    home = Household(tmp_path)
    home.write("1 00:00", "tube_change", **{**TUBE, "inner_tube": "reusable"})
    found = home.kit("2 00:00")["catheter_fr"]
    assert (found["rule_a"], found["rule_b"], found["suggested"]) == (None, None, None)


def test_supplies_are_counted_down_by_their_use_in_the_record(tmp_path: Path) -> None:
    home = Household(tmp_path)
    home.write("1 08:00", "stock", item="suction catheter 10 Fr", count=500, reason="count")
    for day in range(2, 16):
        for hour in range(8, 13):
            home.write(f"{day} {hour:02}:00", "suction", catheter_fr=10, passes=2)
    (supply,) = home.kit("16 00:00")["supplies"]
    assert supply["item"] == "suction catheter 10 Fr"
    assert (supply["count"], supply["per_day"], supply["days_left"]) == (360, 10, 36)
    assert supply["order_by"] == "2026-12-08"


def test_an_empty_record_has_answers_without_any_guess(tmp_path: Path) -> None:
    home = Household(tmp_path)
    found = home.kit("2 00:00")
    assert found["supplies"] == []
    assert found["catheter_fr"]["suggested"] is None
    assert found["box"]["complete"] is False
    assert home.dues("2 00:00") == {}


def test_another_plan_may_ask_for_what_was_last_done_long_ago(tmp_path: Path) -> None:
    home = _household(tmp_path, TASK)
    home.write("1 06:00", "humidity", device="nebuliser", action="given")
    for day in range(2, 12):
        for hour in range(6, 10):
            home.write(f"{day} {hour:02}:00", "humidity", device="hme", action="changed")
    nebuliser = {"kind": "humidity", "where": {"device": "nebuliser"}, "every_h": 24}
    plan = tmp_path / "plan.json"
    plan.write_text(json.dumps({"set_by": "a nurse", "tasks": [nebuliser]}), "utf-8")
    args = ["--record", str(home.record()), "--plan", str(plan), "--at", clock("20 08:00"), "--json"]
    (due,) = carelog("due", *args).json()
    assert due["last_at"] == clock("1 06:00")
