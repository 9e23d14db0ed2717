"""The rules' table: one row a rule, complete, with its sources, in words that promise and advise nothing."""

import re

import pytest

from carelog.analysis.rules.rule import Rule
from carelog.analysis.rules.table import ROWS, RULES
from tests.flags.story import Story
from tests.flags.test_rules import CASES

CONTRACT = [
    "overdue",
    "cuff_high",
    "cuff_low",
    "cuff_leak",
    "blood",
    "froth",
    "breathing",
    "catheter_not_passed",
    "crackling",
    "stuck_inner_tube",
    "inner_tube_blocking",
    "tube_change_failed",
    "valve_cuff_up",
    "smell",
    "food_seen",
    "plug",
    "ties_fit",
    "valve_at_night",
    "cuff_at_night",
    "swelling_after_change",
    "tube_change_hard",
    "registration",
    "left_without",
    "oxygen",
    "temperature",
    "spo2",
    "breaths",
    "pulse",
    "stoma_worse",
    "vacuum_high",
    "fenestrated",
    "incident",
    "tube_age",
    "box_incomplete",
    "expiry",
    "equipment",
    "stock_low",
    "nothing_recorded",
    "suction_more",
    "suction_less",
    "secretions_thicker",
    "secretions_colour",
    "secretions_amount",
    "spo2_falling",
    "pulse_rising",
]
TOLD = [
    "blood",
    "froth",
    "breathing",
    "catheter_not_passed",
    "crackling",
    "tube_change_failed",
    "valve_cuff_up",
    "incident",
    "swelling_after_change",
    "tube_change_hard",
    "valve_at_night",
    "cuff_at_night",
]
TOLD_URGENT = ["temperature", "spo2", "breaths", "pulse", "oxygen"]
WITH_TUBE = [
    "cuff_high",
    "cuff_low",
    "cuff_leak",
    "stuck_inner_tube",
    "inner_tube_blocking",
    "fenestrated",
    "valve_cuff_up",
    "valve_at_night",
    "cuff_at_night",
    "ties_fit",
    "tube_change_hard",
    "tube_age",
    "box_incomplete",
    "left_without",
]
DAY = [
    "cuff_leak",
    "blood",
    "catheter_not_passed",
    "inner_tube_blocking",
    "smell",
    "food_seen",
    "incident",
    "plug",
    "swelling_after_change",
]
FALLS = ["tube_age", "box_incomplete", "expiry", "equipment", "stock_low", "registration", "incident"]
SUBJECTS = ["overdue", "incident", "expiry", "equipment", "stock_low", "registration"]
NEVER = re.compile(
    r"\bcleared\b|all is well|nothing is wrong|\bdon't worry\b|\bsafe\b|\bnormal\b|\bzone\b|\bscore\b"
    r"|\badd air\b|\bdeflate\b|\binflate\b|\bincrease\b|\bdecrease\b|\bwait\b|\bshould\b|\bmust\b|\btry\b",
    re.IGNORECASE,
)


def test_every_rule_of_the_contract_has_one_row() -> None:
    assert sorted(rule.name for rule in RULES) == sorted(CONTRACT)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_a_row_is_complete(rule: Rule) -> None:
    assert all((rule.title, rule.raised, rule.level, rule.clears, rule.sources))
    assert all(source.name for source in rule.sources)


def test_what_ends_a_rule_is_as_the_contract_says() -> None:
    written = [rule for rule, _ in ROWS]
    assert sorted(rule.name for rule in written if rule.told) == sorted(TOLD)
    assert sorted(rule.name for rule in written if rule.told_urgent) == sorted(TOLD_URGENT)
    assert sorted(rule.name for rule in written if rule.with_tube) == sorted(WITH_TUBE)
    assert sorted(rule.name for rule in written if rule.day) == sorted(DAY)
    assert sorted(rule.name for rule in written if rule.falls) == sorted(FALLS)
    assert sorted(rule.name for rule in written if rule.subject) == sorted(SUBJECTS)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_a_row_neither_reassures_nor_advises(rule: Rule) -> None:
    for words in (rule.title, rule.raised, rule.level, rule.clears, rule.after):
        assert not NEVER.search(words)


def test_no_flag_of_any_case_reassures_or_advises_and_each_has_its_words() -> None:
    seen = 0
    for rule, lines, expected in CASES.values():
        for flag in Story().tell(*lines).flags(rule) if expected else ():
            seen += 1
            assert flag.headline.endswith(".")
            assert flag.why.endswith(".")
            assert not NEVER.search(f"{flag.headline} {flag.why} {flag.ended}")
            assert "{" not in f"{flag.headline} {flag.why} {flag.ended}"
    assert seen > 150


def test_flags_about_breathing_oxygen_pulse_and_catheters_name_the_emergency_plan() -> None:
    about = {"breathing", "spo2", "breaths", "pulse", "oxygen", "catheter_not_passed", "stuck_inner_tube"}
    about |= {"spo2_falling", "pulse_rising"}
    for rule in RULES:
        if rule.name in about:
            assert "emergency plan" in rule.after


def test_a_cuff_read_in_another_unit_than_the_plans_is_told_in_the_plans_too() -> None:
    _, lines, _ = CASES["25 mmHg is 34 cmH2O"]
    flag = Story().tell(*lines).flags("cuff_high")[0]
    assert "25 mmHg" in flag.headline.replace("\N{NO-BREAK SPACE}", " ")
    why = flag.why.replace("\N{NO-BREAK SPACE}", " ")
    assert why.startswith("25 mmHg is 34 cmH2O. The plan says 20 to 30 cmH2O.")


def test_a_high_cuff_says_what_is_outside_what_and_stops_there() -> None:
    _, lines, _ = CASES["a cuff found high calls until the next reading inside"]
    flag = Story().tell(*lines).flags("cuff_high", until="2 09:00")[0]
    assert flag.headline.replace("\N{NO-BREAK SPACE}", " ") == "Cuff 34 cmH2O at 08:10."
    assert (
        flag.why.replace("\N{NO-BREAK SPACE}", " ")
        == "The plan says 20 to 30 cmH2O. Nothing recorded about a change."
    )
