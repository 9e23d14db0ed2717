"""The plan on paper: every sentence of it, who set it, what the plans before it were, and room to sign."""

from datetime import date
from typing import Any

import pytest

from carelog.domain.entry import Entry
from carelog.domain.paper import SheetRequest
from carelog.sheet import make
from tests.sheet.pages import entry, no_flags, running, sizes, texts

DAY = date(2026, 11, 20)
FIRST: dict[str, Any] = {
    "set_by": "Nour Bakker",
    "quiet": ["23:00", "06:00"],
    "tasks": [{"kind": "inner_tube", "every_h": 8}],
    "limits": {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}},
    "instructions": "Sit up first.\nThen suction.",
}
SECOND = {**FIRST, "tasks": [{"kind": "inner_tube", "every_h": 6}]}


def household(*plans: dict[str, Any]) -> list[Entry]:
    about = {"name": "Odette Farrow", "born": "1961-05-09"}
    person = entry(1, "2026-11-01T08:00:00Z", "person", details=about)
    written = [
        entry(10 + n, f"2026-11-{2 + 7 * n:02}T08:00:00Z", "plan", details=each)
        for n, each in enumerate(plans)
    ]
    return [person, *written]


def sheet(entries: list[Entry], **more: Any) -> bytes:
    return make(SheetRequest(name="plan", day=DAY, **more), entries, find_flags=no_flags)


def test_all_that_the_plan_says_stands_on_it_and_what_it_leaves_open() -> None:
    told = running(sheet(household(FIRST, SECOND)))
    for words in (
        "Odette Farrow",
        "Set by Nour Bakker, in force since Mon 9 Nov 08:00",
        "Inner tube every 6 hours, not between 23:00 and 06:00",
        "Cuff pressure: 20 to 30 cmH2O",
        "SpO2: no limit set",
        "Sit up first. Then suction.",
        "inner tube 8 › 6 h",
        "the first plan: inner tube every 8 h",
        "Read and agreed: name and signature",
    ):
        assert words in told, words
    assert "Inner tube every 8 hours" not in told


def test_a_plan_that_is_still_to_come_is_not_the_one_in_force() -> None:
    later = {**SECOND, "from": "2026-12-01T08:00:00+00:00"}
    told = running(sheet(household(FIRST, later)))
    assert "Inner tube every 8 hours" in told
    assert "Inner tube every 6 hours" not in told


def test_without_a_plan_it_says_so() -> None:
    assert "No plan is recorded: no limit is set, and nothing is asked for." in running(sheet(household()))


def test_a_usual_plan_stands_on_one_side() -> None:
    assert len(texts(sheet(household(FIRST, SECOND)))) == 1


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_in_large_print_every_letter_is_large(paper: str) -> None:
    assert min(sizes(sheet(household(FIRST), paper=paper, large=True))) >= 16
