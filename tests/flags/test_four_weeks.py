"""The flags of four weeks of an invented household, as they were told beforehand."""

from typing import Any

import pytest

from carelog.analysis.flags.period import flags
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import Moment
from tests.flags.story import LONG_AGO
from tests.loading import expected, load

WEEK = Moment.read("2026-10-19T00:00:00+01:00").instant, Moment.read("2026-10-26T00:00:00+00:00").instant


@pytest.fixture(scope="module")
def entries() -> list[Entry]:
    return load("four-weeks.jsonl")


@pytest.fixture(scope="module")
def told() -> dict[str, Any]:
    return expected("four-weeks.expected.json")


@pytest.fixture(scope="module")
def week(entries: list[Entry]) -> list[Flag]:
    return flags(entries, *WEEK)


def test_the_week_has_the_flags_that_it_must_and_none_that_it_mustnt(
    week: list[Flag], told: dict[str, Any]
) -> None:
    found = {flag.rule for flag in week}
    assert set(told["flags_in_week"]["must"]) <= found
    assert not set(told["flags_in_week"]["must_not"]) & found


def test_the_three_weeks_before_have_none_of_those_that_they_mustnt(
    entries: list[Entry], told: dict[str, Any]
) -> None:
    found = {flag.rule for flag in flags(entries, LONG_AGO, WEEK[0])}
    assert not set(told["first_three_weeks"]["must_not"]) & found
    assert "box_incomplete" in found


@pytest.mark.parametrize(("fact", "rule"), [("rivals", "pulse"), ("stuck", "stuck_inner_tube")])
def test_a_flag_is_raised_and_ends_at_the_moments_told(
    week: list[Flag], told: dict[str, Any], fact: str, rule: str
) -> None:
    facts = told["facts"][fact]
    (flag,) = [flag for flag in week if flag.rule == rule]
    moments = [Moment.read(facts[name]).instant for name in ("raised_at", "cleared_at")]
    assert [flag.raised_at, flag.cleared_at, flag.cleared_by] == [*moments, "entry"]


def test_the_amended_reading_was_flagged_until_it_was_amended(week: list[Flag], told: dict[str, Any]) -> None:
    facts = told["facts"]["amended_high"]
    (flag,) = [flag for flag in week if facts["first"] in flag.entries]
    assert flag.raised_at <= Moment.read(facts["raised_by"]).instant
    assert flag.cleared_at is not None
    assert flag.cleared_at <= Moment.read(facts["cleared_by"]).instant
    assert (flag.rule, flag.headline) == (
        "cuff_high",
        "Cuff 52\N{NO-BREAK SPACE}cmH2O at Mon\N{NO-BREAK SPACE}19 20:03.",
    )


def test_each_reading_outside_is_flagged_in_its_own_unit(week: list[Flag], told: dict[str, Any]) -> None:
    facts = told["facts"]
    shown = {entry: flag for flag in week for entry in flag.entries if flag.rule.startswith("cuff_")}
    assert "34\N{NO-BREAK SPACE}cmH2O" in shown[facts["high_cm"]].headline
    assert "25\N{NO-BREAK SPACE}mmHg" in shown[facts["high_mmhg"]].headline
    assert "1.8\N{NO-BREAK SPACE}kPa" in shown[facts["low_kpa"]].headline
    assert shown[facts["low_kpa"]].rule == "cuff_low"


def test_broken_skin_with_fluid_from_its_edge_calls(week: list[Flag], told: dict[str, Any]) -> None:
    (flag,) = [flag for flag in week if told["facts"]["stoma_broken"] in flag.entries]
    assert (flag.rule, flag.level.word) == ("stoma_worse", "call")


def test_the_valve_on_a_cuff_let_down_shows_nothing(week: list[Flag], told: dict[str, Any]) -> None:
    facts = told["facts"]["valve"]
    shown = {entry for flag in week for entry in flag.entries if flag.rule == "valve_cuff_up"}
    assert not shown & {facts["on"], facts["off"], facts["cuff_up"]}
