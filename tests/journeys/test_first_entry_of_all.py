"""The very first entry of a record raises its flag, whatever zone it was written in."""

from pathlib import Path
from typing import Any

import pytest

from tests.journeys.household import Household

FIRST: list[tuple[str, dict[str, Any], str]] = [
    ("suction", {"blood": "fresh"}, "blood"),
    ("suction", {"frothy": True, "colour": "pink"}, "froth"),
    ("suction", {"breathing_after": "harder"}, "breathing"),
    ("suction", {"catheter_passed": "no"}, "catheter_not_passed"),
    ("suction", {"smell": "new"}, "smell"),
    ("suction", {"food_seen": True}, "food_seen"),
    ("stoma", {"crackling": True}, "crackling"),
    ("stoma", {"skin": "broken"}, "stoma_worse"),
    ("inner_tube", {"outcome": "stuck"}, "stuck_inner_tube"),
    ("inner_tube", {"outcome": "cleaned", "found": "blocked"}, "inner_tube_blocking"),
    (
        "tube_change",
        {"id_mm": 8, "cuff": "air", "inner_tube": "none", "ease": "failed"},
        "tube_change_failed",
    ),
    ("valve", {"action": "on"}, "valve_cuff_up"),
    ("cuff_state", {"state": "up", "voice_heard": True}, "cuff_leak"),
    ("observations", {"temperature_c": 38.5}, "temperature"),
    ("incident", {"what": "breathing"}, "incident"),
    ("equipment_check", {"device": "suction_machine", "works": False}, "equipment"),
    ("box_check", {"missing": ["gel"]}, "box_incomplete"),
    ("stock", {"item": "gel", "count": 1, "expiry": "2026-01"}, "expiry"),
]


@pytest.mark.parametrize("zone", ["", "UTC", "Europe/London", "Asia/Tokyo"])
@pytest.mark.parametrize(("kind", "details", "rule"), FIRST, ids=[each[2] for each in FIRST])
def test_it_is_flagged_at_once(
    kind: str, details: dict[str, Any], rule: str, zone: str, tmp_path: Path
) -> None:
    home = Household(tmp_path)
    home.write("3 08:00", kind, _zone=zone, **details)
    found = home.flags("3 08:00", "3 09:00", rule)
    assert len(found) >= 1
