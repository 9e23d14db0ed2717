"""A plan is told in sentences, two plans side by side; odd limits are asked about in plain words."""

from typing import Any

import pytest

from carelog.analysis.published import odd_limits
from carelog.analysis.sentences import beside, passages

TUBE = {"kind": "inner_tube", "every_h": 8}
PLAN: dict[str, Any] = {
    "set_by": "a nurse",
    "quiet": ["23:00", "06:00"],
    "tasks": [
        TUBE,
        {"kind": "ties", "every_h": 168, "quiet": None},
        {"kind": "mouth_care", "times": ["08:00", "20:00"], "early_min": 30, "grace_min": 15},
        {"kind": "humidity", "where": {"device": "hme"}, "every_h": 1},
    ],
    "limits": {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}, "spo2_percent": {"urgent_low": 88}},
    "valve_at_night": False,
    "catheter_fr": 12,
    "restarts": ["cuff"],
    "instructions": "Sit up.\nCall.",
}


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def said(details: dict[str, Any], *, is_adult: bool = True, is_set: bool = True) -> list[str]:
    return [
        plain(each.words)
        for part in passages(details, is_adult=is_adult)
        for each in part.sentences
        if each.is_set is is_set
    ]


def test_everything_that_a_plan_says_is_one_sentence_each() -> None:
    assert said(PLAN) == [
        "Inner tube every 8 hours, not between 23:00 and 06:00",
        "Ties every 7 days, also in the quiet hours",
        "Mouth care at 08:00, 20:00, from 30 min before, overdue after 15 min",
        "HME every hour, not between 23:00 and 06:00",
        "Cuff pressure: 20 to 30 cmH2O",
        "SpO2: urgent below 88 %",
        "Quiet hours 23:00 to 06:00",
        "No valve or cap at night",
        "Catheter 12 Fr",
        "Usual learnt anew for cuff",
        "Sit up.\nCall.",
    ]


def test_what_a_plan_leaves_open_is_said_too_with_what_counts_anyway() -> None:
    left = said({"set_by": "a nurse"}, is_set=False)
    assert "Nothing is asked for" in left
    assert "SpO2: no limit set" in left
    assert "Vacuum: at most 20 kPa (not in the plan)" in left
    assert "Order lead time 7 days (not in the plan)" in left
    assert "One spare with a cuff: the plan doesn't say" in left
    assert "Vacuum: no limit set" in said({}, is_adult=False, is_set=False)


def test_a_field_that_this_version_does_not_know_is_shown_as_it_is() -> None:
    assert "moon: 3" in said({**PLAN, "moon": 3})


def test_two_plans_stand_side_by_side_and_what_differs_is_marked() -> None:
    after = {**PLAN, "tasks": [{**TUBE, "every_h": 6}, *PLAN["tasks"][2:]], "cuffed_spare": True}
    rows = [each for part in beside(PLAN, after, is_adult=True) for each in part.rows]
    changed = [(plain(each.before), plain(each.after)) for each in rows if each.is_changed]
    assert [(one.split(",")[0], other.split(",")[0]) for one, other in changed] == [
        ("Inner tube every 8 hours", "Inner tube every 6 hours"),
        ("Ties every 7 days", ""),
        ("One spare with a cuff: the plan doesn't say", "One spare with a cuff"),
    ]
    assert not any(each.is_changed for part in beside(PLAN, PLAN, is_adult=True) for each in part.rows)


ODD: dict[str, tuple[dict[str, Any], bool, str]] = {
    "above the ceiling": ({"cuff_pressure": {"high": 32, "unit": "cmH2O"}}, True, "32 cmH2O"),
    "the unit trap": ({"cuff_pressure": {"high": 25, "unit": "mmHg"}}, True, "25 mmHg = 34 cmH2O"),
    "a floor that is disputed": (
        {"cuff_pressure": {"low": 15, "unit": "cmH2O"}},
        True,
        "Some begin at 14 or 15",
    ),
    "an adult's vacuum": ({"vacuum": {"high": 160, "unit": "mmHg"}}, True, "150 mmHg"),
    "a child's vacuum": ({"vacuum": {"high": 17, "unit": "kPa"}}, False, "16 kPa"),
    "a late fever": ({"temperature_c": {"high": 38.5}}, False, "38.5 °C"),
    "ends that cross": ({"pulse_per_min": {"low": 90, "high": 60}}, True, "above the high end"),
    "an urgent end inside": (
        {"spo2_percent": {"low": 90, "urgent_low": 92}},
        True,
        "urgent end lies inside",
    ),
}


@pytest.mark.parametrize(("limits", "is_adult", "words"), ODD.values(), ids=ODD)
def test_a_limit_beyond_what_is_published_is_asked_about(
    limits: dict[str, Any], is_adult: bool, words: str
) -> None:
    (asked,) = odd_limits(limits, is_adult=is_adult)
    assert words in plain(asked)


def test_published_limits_and_a_childs_own_cuff_are_not_asked_about() -> None:
    usual = {
        "cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"},
        "vacuum": {"high": 150, "unit": "mmHg"},
        "temperature_c": {"low": 35, "high": 38, "urgent_high": 40},
    }
    assert odd_limits(usual, is_adult=True) == []
    assert odd_limits({"cuff_pressure": {"low": 10, "high": 15, "unit": "cmH2O"}}, is_adult=False) == []
