"""What changed between two plans, as one sentence that is the same everywhere."""

from typing import Any

import pytest

from carelog.analysis.revision import PAPER_ARROW, revision, revision_of
from carelog.domain.plan import Plan

CUFF = {"low": 20, "high": 30, "unit": "cmH2O"}
TUBE = {"kind": "inner_tube", "every_h": 8}
BASE: dict[str, Any] = {"set_by": "a nurse", "tasks": [TUBE], "limits": {"cuff_pressure": CUFF}}


def plan(entry: str = "", **details: Any) -> Plan:
    return Plan.of(entry, 0, {**BASE, **details})


def limits(**more: Any) -> dict[str, Any]:
    return {"limits": {"cuff_pressure": CUFF, **more}}


CHANGES: dict[str, tuple[dict[str, Any], dict[str, Any], str]] = {
    "a limit and a task": (
        {},
        {
            "limits": {"cuff_pressure": {**CUFF, "low": 22, "high": 26}},
            "tasks": [{**TUBE, "every_h": 4}],
        },
        "cuff 20–30 → 22–26 cmH2O; inner tube 8 → 4 h",
    ),
    "another unit": (
        {},
        {"limits": {"cuff_pressure": {"low": 15, "high": 22, "unit": "mmHg"}}},
        "cuff 20–30 cmH2O → 15–22 mmHg",
    ),
    "a limit that there was none of": (
        {},
        limits(spo2_percent={"low": 92, "urgent_low": 88}),
        "SpO2 none → at least 92 %, urgent below 88 %",
    ),
    "a limit that is none any more": (
        limits(pulse_per_min={"low": 50, "high": 120}),
        {},
        "pulse 50 to 120 /min → none",
    ),
    "clock times": (
        {"tasks": [{"kind": "ties", "times": ["08:00", "20:00"]}]},
        {"tasks": [{"kind": "ties", "times": ["09:00"]}]},
        "ties at 08:00, 20:00 → at 09:00",
    ),
    "from hours to clock times": (
        {},
        {"tasks": [{"kind": "inner_tube", "times": ["09:00"]}]},
        "inner tube every 8 h → at 09:00",
    ),
    "a new task and one that is gone": (
        {},
        {"tasks": [{"kind": "mouth_care", "every_h": 12}]},
        "new: mouth care every 12 h; no longer: inner tube",
    ),
    "the grace of a task": ({}, {"tasks": [{**TUBE, "grace_min": 30}]}, "inner tube, grace 60 min → 30 min"),
    "quiet hours": ({}, {"quiet": ["23:00", "06:00"]}, "quiet hours none → 23:00–06:00"),
    "a task's own quiet hours": (
        {"quiet": ["23:00", "06:00"]},
        {"quiet": ["23:00", "06:00"], "tasks": [{**TUBE, "quiet": None}]},
        "inner tube, quiet hours 23:00–06:00 → none",
    ),
    "the catheter": ({"catheter_fr": 10}, {"catheter_fr": 12}, "catheter 10 Fr → 12 Fr"),
    "the instructions": ({}, {"instructions": "Sit up."}, "instructions changed"),
    "only who set it": ({}, {"set_by": "another nurse"}, "asks the same as before"),
    "defaults written out": (
        {},
        {"tasks": [{**TUBE, "grace_min": 60, "where": {}, "early_min": 60}]},
        "asks the same as before",
    ),
    "what is learnt anew": ({}, {"restarts": ["cuff"]}, "usual learnt anew for cuff"),
}


@pytest.mark.parametrize(("before", "after", "words"), CHANGES.values(), ids=CHANGES)
def test_a_change_of_plan_is_one_sentence(before: dict[str, Any], after: dict[str, Any], words: str) -> None:
    assert revision(plan(**before), plan(**after)).replace("\N{NO-BREAK SPACE}", " ") == words


def test_of_the_first_plan_it_is_told_what_it_asks_for() -> None:
    assert revision(None, plan()) == "the first plan: inner tube every 8 h"
    assert revision(None, plan(tasks=[])) == "the first plan, without tasks"


def test_paper_has_an_arrow_of_its_own() -> None:
    words = revision(plan(), plan(tasks=[{**TUBE, "every_h": 4}]), PAPER_ARROW)
    assert words == "inner tube 8 › 4 h"


def test_a_plan_is_told_against_the_one_before_it_in_their_order() -> None:
    found = [plan("a"), plan("b", tasks=[{**TUBE, "every_h": 4}]), plan("c", tasks=[{**TUBE, "every_h": 6}])]
    assert revision_of(found, "c") == "inner tube 4 → 6 h"
    assert revision_of(found, "a") == "the first plan: inner tube every 8 h"
    assert revision_of(found, "z") is None
