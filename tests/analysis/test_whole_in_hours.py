"""Which entries of a valve or a cuff the hours of a day tell whole, but for their minute."""

from typing import Any

import pytest

from carelog.analysis.in_force import Reading
from carelog.analysis.worn import whole_in_hours
from carelog.domain.entry import Entry
from carelog.domain.moment import Moment

DOWN, UP = {"state": "down"}, {"state": "up"}
ON = {"what": "valve", "action": "on", "cuff_down": True}
OFF = {"what": "valve", "action": "off"}


def told(*said: tuple[str, dict[str, Any]], cuff: str = "air") -> list[bool]:
    tube = {"id_mm": 7.5, "cuff": cuff, "inner_tube": "none", "fenestrated": False, "reason": "planned"}
    entries = [
        Entry(
            id=f"00000000-0000-4000-8000-{number:012}",
            kind=kind,
            at=Moment.read(f"2026-11-24T{8 + number:02}:00+00:00"),
            recorded_at=Moment.read(f"2026-11-24T{8 + number:02}:00+00:00").instant,
            details=details,
        )
        for number, (kind, details) in enumerate([("tube_change", tube), *said])
    ]
    found = whole_in_hours(Reading(entries))
    return [each.id in found for each in entries[1:]]


def test_what_begins_and_what_ends_a_stretch_is_told_by_its_hours() -> None:
    said = (("cuff_state", DOWN), ("valve", ON), ("valve", OFF), ("cuff_state", UP))
    assert told(*said) == [True, True, True, True]


@pytest.mark.parametrize(
    "said",
    [
        ("valve", OFF),
        ("valve", {**ON, "what": "cap"}),
        ("valve", {**ON, "cuff_down": False}),
        ("valve", {"what": "valve", "action": "on"}),
        ("cuff_state", UP),
        ("cuff_state", {**DOWN, "voice_heard": True}),
    ],
)
def test_what_the_hours_dont_tell_isnt(said: tuple[str, dict[str, Any]]) -> None:
    assert told(said) == [False]


def test_a_cuff_that_holds_no_air_has_no_hours() -> None:
    assert told(("cuff_state", DOWN), ("cuff_state", UP), cuff="foam") == [False, False]
