"""Where an entry names other kinds, people read their titles and not their names in the file."""

from typing import Any

import pytest

from carelog.analysis.titles import rule_title, with_titles
from carelog.kinds import named_or_unknown

PLAN: dict[str, Any] = {
    "set_by": "a nurse",
    "tasks": [
        {"kind": "inner_tube", "every_h": 8},
        {"kind": "humidity", "where": {"device": "nebuliser"}, "times": ["03:00"]},
        {"kind": "of_a_later_version", "every_h": 1},
    ],
}


def test_a_plan_names_what_it_asks_for_by_titles() -> None:
    line = named_or_unknown("plan").line(with_titles("plan", PLAN)).replace("\N{NO-BREAK SPACE}", " ")
    assert "Inner tube, every 8 h" in line
    assert "Humidification (nebuliser), at 03:00" in line
    assert "of_a_later_version" in line
    assert "inner_tube" not in line
    assert PLAN["tasks"][0]["kind"] == "inner_tube"


def test_a_shift_names_what_needed_nothing_by_titles() -> None:
    details = {"action": "end", "nothing_needed": ["mouth_care", "suction"]}
    line = named_or_unknown("shift").line(with_titles("shift", details))
    assert "Mouth care" in line
    assert "mouth_care" not in line


def test_a_flag_that_somebody_looked_at_is_named_by_its_title() -> None:
    assert with_titles("seen", {"rule": "cuff_high"})["rule"] == rule_title("cuff_high") != "cuff_high"
    assert with_titles("seen", {"rule": "of_a_later_version"}) == {"rule": "of_a_later_version"}


@pytest.mark.parametrize("details", [{}, {"action": "start"}, {"tasks": [{"kind": "ties"}]}])
def test_other_details_stay_as_they_are(details: dict[str, Any]) -> None:
    assert with_titles("outing", details) == details
