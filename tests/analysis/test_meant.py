"""What another plan would have meant for two weeks: worked out from the record, told in a sentence."""

from typing import Any

import pytest

from carelog.analysis.meant import Meant
from carelog.app.meant import meant_of
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, Home, Instant
from tests.ui.household import NOW, ZONE, Memory

PLAN: dict[str, Any] = {
    "set_by": "a nurse",
    "tasks": [{"kind": "inner_tube", "every_h": 8}],
    "limits": {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}},
}


def entry(number: int, at: Instant, kind: str, **details: Any) -> Entry:
    name = f"40000000-0000-7000-8000-{number:012x}"
    return Entry(name, kind, Home(ZONE).moment(at), at, ZONE, "AB", details, "")


def household(plan: dict[str, Any] = PLAN) -> Memory:
    """An inner tube cleaned every 8 h for 20 days, and a cuff read at 27 each day; a plan from the start."""
    start = NOW - 20 * DAY_24_H
    entries = [
        entry(1, start - HOUR, "person", name="Nima Albers", born="1961-02-03", home_zone=ZONE),
        entry(2, start, "plan", **plan),
        entry(3, start, "tube_change", id_mm=8, cuff="air", inner_tube="reusable", inner_id_mm=7),
    ]
    entries += [
        entry(100 + n, start + n * 8 * HOUR, "inner_tube", outcome="cleaned", found="clear")
        for n in range(1, 60)
    ]
    entries += [
        entry(500 + n, start + n * DAY_24_H + HOUR, "cuff_pressure", value=27, unit="cmH2O")
        for n in range(20)
    ]
    return Memory(entries=entries)


def rows(found: Meant) -> dict[str, tuple[str, str]]:
    return {each.title: (each.before, each.after) for each in found.rows}


@pytest.fixture(scope="module")
def tighter() -> Meant:
    other = {
        **PLAN,
        "tasks": [{"kind": "inner_tube", "every_h": 4}],
        "limits": {"cuff_pressure": {"low": 20, "high": 26, "unit": "cmH2O"}},
    }
    return meant_of(household(), other, NOW)


def test_the_plan_itself_would_have_meant_the_same() -> None:
    found = meant_of(household(), PLAN, NOW)
    assert found.sentence.endswith("the same asked for. The same flagged.")
    assert not any(each.is_changed for each in found.rows)


def test_a_tighter_plan_says_what_would_have_been_late_and_flagged(tighter: Meant) -> None:
    before, after = rows(tighter)["Inner tube"]
    assert before == "40 asked for: 39 in time, 1 still due"
    assert "39 not recorded" in after
    assert tighter.sentence.startswith(
        "Under this plan, in the last 14 days: inner tube asked for 79 times instead of 40"
    )
    assert "Flagged beside: " in tighter.sentence
    assert "Not flagged any more" not in tighter.sentence
    flagged = [title for title in rows(tighter) if title.startswith("Flag: ")]
    assert any("Overdue" in title for title in flagged)
    assert len(flagged) >= 2


def test_it_says_that_people_may_have_done_other_things(tighter: Meant) -> None:
    assert "Worked out from what was recorded" in tighter.foot


def test_a_plan_from_a_time_to_come_is_tried_on_the_days_that_were() -> None:
    found = meant_of(household(), {**PLAN, "from": "2099-01-01T00:00:00+00:00", "tasks": []}, NOW)
    assert "inner tube asked for never instead of 40" in found.sentence
    assert rows(found)["Inner tube"][1] == "not asked for"


def test_a_flag_that_would_only_have_come_sooner_is_the_same_flag() -> None:
    record = household()
    last = NOW - 3 * DAY_24_H
    record.entries = [each for each in record.entries if each.kind != "inner_tube" or each.at.instant < last]
    found = meant_of(record, {**PLAN, "tasks": [{"kind": "inner_tube", "every_h": 7.5}]}, NOW)
    assert "Flagged beside" not in found.sentence
    assert "Not flagged any more" not in found.sentence
    assert found.sentence.endswith("not recorded 10 times instead of 9. The same flagged.")


def test_of_three_tasks_that_change_the_sum_is_told_and_two_are_told_one_by_one() -> None:
    more = [{"kind": kind, "every_h": 12} for kind in ("mouth_care", "stoma", "cuff_pressure")]
    two = meant_of(household(), {**PLAN, "tasks": [*PLAN["tasks"], *more[:2]]}, NOW).sentence
    assert "mouth care" in two
    assert "all of it" not in two
    three = meant_of(household(), {**PLAN, "tasks": [*PLAN["tasks"], *more]}, NOW).sentence
    assert "all of it asked for" in three
    assert "mouth care" not in three
