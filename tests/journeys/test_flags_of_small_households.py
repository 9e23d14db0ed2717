"""Each rule of care on a small household, asked of the whole program: raised when, how serious, ended how."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.journeys.household import DAY_PLAN, TUBE, Household

Build = Callable[[Household], object]
Flags = list[tuple[Any, ...]]


def _cuffed(home: Household) -> None:
    home.write("1 00:00", "plan", **DAY_PLAN)
    home.write("1 00:00", "tube_change", **TUBE)


def _readings(*found: tuple[str, dict[str, Any]]) -> Build:
    def build(home: Household) -> None:
        _cuffed(home)
        for at, details in found:
            home.write(at, "cuff_pressure", **{"unit": "cmH2O", **details})

    return build


def _entries(*found: tuple[Any, ...]) -> Build:
    """Entries as (at, kind, details) or (at, kind, details, known)."""

    def build(home: Household) -> None:
        for at, kind, details, *known in found:
            home.write(at, kind, *known, **details)

    return build


def _amended_high(home: Household) -> None:
    _cuffed(home)
    first = home.write("2 20:10", "cuff_pressure", value=52, unit="cmH2O")
    home.change(first, "2 20:15", {"value": 25, "unit": "cmH2O"})


def _withdrawn_high(home: Household) -> None:
    _cuffed(home)
    first = home.write("2 20:10", "cuff_pressure", value=40, unit="cmH2O")
    home.change(first, "2 20:20", None)


def _ended_incident(home: Household) -> None:
    first = home.write("2 08:00", "incident", what="power_cut")
    home.write("2 11:00", "incident", what="power_cut", ends=first)


PERSON = {"name": "Odette Farrow"}
BLOOD = {"blood": "fresh"}
STREAKS = {"blood": "streaks"}
TOLD = {"rule": "blood", "told": "Nell"}
QUIET_PLAN = {**DAY_PLAN, "quiet": ["23:00", "06:00"]}
MOUTH_PLAN = {**DAY_PLAN, "tasks": [{"kind": "mouth_care", "every_h": 8}]}
INNER_PLAN = {**DAY_PLAN, "tasks": [{"kind": "inner_tube", "every_h": 8}]}
WHOLE = {"skin": "whole"}
MACHINE = {"device": "suction_machine", "works": False}
BOX = {
    "present": [
        "inner_tubes",
        "syringe",
        "ties",
        "dressing",
        "mask",
        "gel",
        "gloves",
        "scissors",
        "catheters",
    ],
    "spare_same": {"id_mm": 8, "cuff": "air"},
    "spare_smaller": {"id_mm": 7, "cuff": "air"},
}
FULL_BOX = {**BOX, "present": [*BOX["present"], "tube_details"]}
LESS_BOX = {**FULL_BOX, "present": [item for item in FULL_BOX["present"] if item != "gloves"]}
NO_SPARE = {name: value for name, value in FULL_BOX.items() if name != "spare_same"}

CASES: dict[str, tuple[str, Build, Flags]] = {
    "a cuff found high calls until the next reading inside": (
        "cuff_high",
        _readings(("2 08:10", {"value": 34}), ("2 20:00", {"value": 26})),
        [(None, "call", "2 08:10", "2 20:00", "entry")],
    ),
    "found high and left inside is a note": (
        "cuff_high",
        _readings(("2 08:10", {"value": 34, "value_after": 26}), ("2 20:00", {"value": 26})),
        [(None, "note", "2 08:10", "2 20:00", "entry")],
    ),
    "a second high reading in a row calls": (
        "cuff_high",
        _readings(
            ("2 08:00", {"value": 34, "value_after": 26}), ("2 20:00", {"value": 33, "value_after": 26})
        ),
        [(None, "call", "2 08:00", None, None)],
    ),
    "above 50 cmH2O calls although it was left inside": (
        "cuff_high",
        _readings(("2 08:00", {"value": 51, "value_after": 25})),
        [(None, "call", "2 08:00", None, None)],
    ),
    "50 cmH2O left inside is a note": (
        "cuff_high",
        _readings(("2 08:00", {"value": 50, "value_after": 25})),
        [(None, "note", "2 08:00", None, None)],
    ),
    "a reading at the limit is inside": ("cuff_high", _readings(("2 08:00", {"value": 30})), []),
    "25 mmHg is over a limit of 30 cmH2O": (
        "cuff_high",
        _readings(("2 08:00", {"value": 25, "unit": "mmHg"})),
        [(None, "call", "2 08:00", None, None)],
    ),
    "1.8 kPa is under a limit of 20 cmH2O": (
        "cuff_low",
        _readings(("2 08:00", {"value": 1.8, "unit": "kPa"})),
        [(None, "call", "2 08:00", None, None)],
    ),
    "found inside but left outside calls, and isn't ended by itself": (
        "cuff_high",
        _readings(("2 08:00", {"value": 24, "value_after": 36}), ("2 20:00", {"value": 25})),
        [(None, "call", "2 08:00", "2 20:00", "entry")],
    ),
    "a cuff that is down isn't judged by a reading near nothing": (
        "cuff_low",
        _entries(
            ("1 00:00", "plan", DAY_PLAN),
            ("1 00:00", "tube_change", TUBE),
            ("2 07:00", "cuff_state", {"state": "down"}),
            ("2 08:00", "cuff_pressure", {"value": 3, "unit": "cmH2O"}),
        ),
        [],
    ),
    "a cuff that was said to be down but holds 6 cmH2O is judged": (
        "cuff_low",
        _entries(
            ("1 00:00", "plan", DAY_PLAN),
            ("1 00:00", "tube_change", TUBE),
            ("2 07:00", "cuff_state", {"state": "down"}),
            ("2 08:00", "cuff_pressure", {"value": 6, "unit": "cmH2O"}),
        ),
        [(None, "call", "2 08:00", None, None)],
    ),
    "letting the cuff down ends what its pressure showed": (
        "cuff_high",
        _entries(
            ("1 00:00", "plan", DAY_PLAN),
            ("1 00:00", "tube_change", TUBE),
            ("2 08:10", "cuff_pressure", {"value": 34, "unit": "cmH2O"}),
            ("2 09:00", "cuff_state", {"state": "down"}),
        ),
        [(None, "call", "2 08:10", "2 09:00", "entry")],
    ),
    "an amended reading was flagged, and ended when it was amended": (
        "cuff_high",
        _amended_high,
        [(None, "call", "2 20:10", "2 20:15", "entry")],
    ),
    "a withdrawn reading was flagged, and ended when it was withdrawn": (
        "cuff_high",
        _withdrawn_high,
        [(None, "call", "2 20:10", "2 20:20", "entry")],
    ),
    "a high reading written down after a later one inside shows nothing": (
        "cuff_high",
        _entries(
            ("1 00:00", "plan", DAY_PLAN),
            ("1 00:00", "tube_change", TUBE),
            ("2 10:00", "cuff_pressure", {"value": 26, "unit": "cmH2O"}),
            ("2 08:10", "cuff_pressure", {"value": 34, "unit": "cmH2O"}, "2 12:00"),
        ),
        [],
    ),
    "no limit in the plan, no flag": (
        "cuff_high",
        _entries(
            ("1 00:00", "tube_change", TUBE), ("2 08:10", "cuff_pressure", {"value": 60, "unit": "cmH2O"})
        ),
        [],
    ),
    "fresh blood is urgent until somebody is told": (
        "blood",
        _entries(("2 03:00", "suction", BLOOD), ("2 03:12", "seen", TOLD)),
        [(None, "urgent", "2 03:00", "2 03:12", "entry")],
    ),
    "looking without telling ends nothing": (
        "blood",
        _entries(("2 03:00", "suction", BLOOD), ("2 03:12", "seen", {"rule": "blood"})),
        [(None, "urgent", "2 03:00", None, None)],
    ),
    "a bleeding that is written down after the telling is raised anew": (
        "blood",
        _entries(
            ("2 03:00", "suction", BLOOD), ("2 03:12", "seen", TOLD), ("2 02:00", "suction", BLOOD, "2 05:00")
        ),
        [(None, "urgent", "2 03:00", "2 03:12", "entry"), (None, "urgent", "2 05:00", None, None)],
    ),
    "the second blood-stained suction within 24 h calls for 24 h": (
        "blood",
        _entries(("2 08:00", "suction", STREAKS), ("2 20:00", "suction", {"colour": "pink"})),
        [(None, "call", "2 20:00", "3 20:00", "time")],
    ),
    "blood-stained suctions more than 24 h apart show nothing": (
        "blood",
        _entries(("2 08:00", "suction", STREAKS), ("3 08:01", "suction", STREAKS)),
        [],
    ),
    "froth with pink is urgent and never ends by time": (
        "froth",
        _entries(("2 08:00", "suction", {"frothy": True, "colour": "pink"})),
        [(None, "urgent", "2 08:00", None, None)],
    ),
    "froth alone shows nothing": (
        "froth",
        _entries(("2 08:00", "suction", {"frothy": True, "blood": "none"})),
        [],
    ),
    "harder breathing after suction is urgent": (
        "breathing",
        _entries(("2 08:00", "suction", {"breathing_after": "harder"})),
        [(None, "urgent", "2 08:00", None, None)],
    ),
    "a tight catheter calls until one passes freely": (
        "catheter_not_passed",
        _entries(
            ("2 08:00", "suction", {"catheter_passed": "tight"}),
            ("2 09:00", "suction", {"catheter_passed": "freely", "route": "oral"}),
            ("2 10:00", "suction", {"catheter_passed": "freely"}),
        ),
        [(None, "call", "2 08:00", "2 10:00", "entry")],
    ),
    "a tight catheter calls for 24 h": (
        "catheter_not_passed",
        _entries(("2 08:00", "suction", {"catheter_passed": "tight"}, "2 08:30")),
        [(None, "call", "2 08:30", "3 08:30", "time")],
    ),
    "a catheter that didn't pass is urgent": (
        "catheter_not_passed",
        _entries(
            ("2 08:00", "suction", {"catheter_passed": "tight"}),
            ("2 09:00", "suction", {"catheter_passed": "no"}),
        ),
        [(None, "urgent", "2 08:00", None, None)],
    ),
    "crackling under the skin is urgent": (
        "crackling",
        _entries(("2 08:00", "stoma", {"crackling": True})),
        [(None, "urgent", "2 08:00", None, None)],
    ),
    "a stuck inner tube calls until it is out": (
        "stuck_inner_tube",
        _entries(
            ("2 08:00", "inner_tube", {"outcome": "stuck"}), ("2 08:30", "inner_tube", {"outcome": "cleaned"})
        ),
        [(None, "call", "2 08:00", "2 08:30", "entry")],
    ),
    "a stuck inner tube with a tight catheter within 2 h is urgent": (
        "stuck_inner_tube",
        _entries(
            ("2 08:00", "inner_tube", {"outcome": "stuck"}),
            ("2 10:00", "suction", {"catheter_passed": "tight"}),
        ),
        [(None, "urgent", "2 08:00", None, None)],
    ),
    "a stuck inner tube with a tight catheter a minute later than that calls": (
        "stuck_inner_tube",
        _entries(
            ("2 08:00", "inner_tube", {"outcome": "stuck"}),
            ("2 10:01", "suction", {"catheter_passed": "tight"}),
        ),
        [(None, "call", "2 08:00", None, None)],
    ),
    "an inner tube found blocked calls for 24 h": (
        "inner_tube_blocking",
        _entries(("2 08:00", "inner_tube", {"outcome": "cleaned", "found": "blocked"})),
        [(None, "call", "2 08:00", "3 08:00", "time")],
    ),
    "a failed tube change is urgent until one succeeds": (
        "tube_change_failed",
        _entries(("2 08:00", "tube_change", {**TUBE, "ease": "failed"}), ("2 09:00", "tube_change", TUBE)),
        [(None, "urgent", "2 08:00", "2 09:00", "entry")],
    ),
    "a valve on while nobody said that the cuff is down is urgent until it is off": (
        "valve_cuff_up",
        _entries(
            ("1 00:00", "tube_change", TUBE),
            ("2 08:00", "valve", {"action": "on"}),
            ("2 08:05", "valve", {"action": "off"}),
        ),
        [(None, "urgent", "2 08:00", "2 08:05", "entry")],
    ),
    "a valve on with the cuff down shows nothing until the cuff is put up": (
        "valve_cuff_up",
        _entries(
            ("1 00:00", "tube_change", TUBE),
            ("2 08:00", "valve", {"action": "on", "cuff_down": True}),
            ("2 09:00", "cuff_state", {"state": "up"}),
            ("2 09:10", "cuff_state", {"state": "down"}),
        ),
        [(None, "urgent", "2 09:00", "2 09:10", "entry")],
    ),
    "a valve on a foam cuff is urgent even when it is said to be down": (
        "valve_cuff_up",
        _entries(
            ("1 00:00", "tube_change", {**TUBE, "cuff": "foam"}),
            ("2 08:00", "valve", {"action": "on", "cuff_down": True}),
        ),
        [(None, "urgent", "2 08:00", None, None)],
    ),
    "a valve on a tube without a cuff shows nothing": (
        "valve_cuff_up",
        _entries(
            ("1 00:00", "tube_change", {**TUBE, "cuff": "none"}), ("2 08:00", "valve", {"action": "on"})
        ),
        [],
    ),
    "a new smell calls for 24 h": (
        "smell",
        _entries(("2 08:00", "suction", {"smell": "new"})),
        [(None, "call", "2 08:00", "3 08:00", "time")],
    ),
    "a stoma smell that was there before shows nothing new": (
        "smell",
        _entries(("2 08:00", "stoma", {"smell": True}), ("3 12:00", "stoma", {"smell": True})),
        [(None, "call", "2 08:00", "3 08:00", "time")],
    ),
    "food seen calls for 24 h": (
        "food_seen",
        _entries(("2 08:00", "suction", {"food_seen": True})),
        [(None, "call", "2 08:00", "3 08:00", "time")],
    ),
    "38.0 °C calls without any plan, until a reading below": (
        "temperature",
        _entries(
            ("2 08:00", "observations", {"temperature_c": 38}),
            ("2 12:00", "observations", {"temperature_c": 37.9}),
        ),
        [(None, "call", "2 08:00", "2 12:00", "entry")],
    ),
    "100.4 °F is 38.0 °C and 100.3 °F isn't": (
        "temperature",
        _entries(
            ("2 08:00", "observations", {"temperature_f": 100.4}),
            ("2 12:00", "observations", {"temperature_f": 100.3}),
        ),
        [(None, "call", "2 08:00", "2 12:00", "entry")],
    ),
    "oxygen without a limit in the plan shows nothing": (
        "spo2",
        _entries(("1 00:00", "plan", DAY_PLAN), ("2 08:00", "observations", {"spo2_percent": 70})),
        [],
    ),
    "redder skin is a note until it is whole again": (
        "stoma_worse",
        _entries(
            ("2 08:00", "stoma", WHOLE), ("3 08:00", "stoma", {"skin": "red"}), ("4 08:00", "stoma", WHOLE)
        ),
        [(None, "note", "3 08:00", "4 08:00", "entry")],
    ),
    "broken skin calls, and without a better look it ends after 7 days": (
        "stoma_worse",
        _entries(("2 08:00", "stoma", WHOLE), ("3 08:00", "stoma", {"skin": "broken"})),
        [(None, "call", "3 08:00", "10 08:00", "time")],
    ),
    "two fields worse call": (
        "stoma_worse",
        _entries(("3 08:00", "stoma", {"skin": "red", "crust": "stuck"})),
        [(None, "call", "3 08:00", "10 08:00", "time")],
    ),
    "crust that wipes off shows nothing where nothing was recorded before": (
        "stoma_worse",
        _entries(("3 08:00", "stoma", {"crust": "wipes_off"})),
        [],
    ),
    "a vacuum over 20 kPa is a note for an adult": (
        "vacuum_high",
        _entries(
            ("1 00:00", "person", {**PERSON, "born": "1960-01-01"}),
            ("2 08:00", "suction", {"vacuum": 21, "vacuum_unit": "kPa"}),
            ("2 09:00", "suction", {"vacuum": 150, "vacuum_unit": "mmHg"}),
        ),
        [(None, "note", "2 08:00", "2 09:00", "entry")],
    ),
    "a vacuum without a birth date has no limit but the plan's": (
        "vacuum_high",
        _entries(("1 00:00", "person", PERSON), ("2 08:00", "suction", {"vacuum": 40, "vacuum_unit": "kPa"})),
        [],
    ),
    "suction through a fenestrated inner tube is a note until a plain one is fitted": (
        "fenestrated",
        _entries(
            ("2 07:00", "inner_tube", {"outcome": "cleaned", "fitted": "fenestrated"}),
            ("2 08:00", "suction", {}),
            ("2 09:00", "inner_tube", {"outcome": "cleaned", "fitted": "plain"}),
        ),
        [(None, "note", "2 08:00", "2 09:00", "entry")],
    ),
    "a power cut calls until its end": (
        "incident",
        _ended_incident,
        [("power_cut", "call", "2 08:00", "2 11:00", "entry")],
    ),
    "another incident is a note for 24 h": (
        "incident",
        _entries(("2 08:00", "incident", {"what": "other"})),
        [("other", "note", "2 08:00", "3 08:00", "time")],
    ),
    "a tube near its date is a note, and calls on the day": (
        "tube_age",
        _entries(("1 00:00", "tube_change", {**TUBE, "next_due": "2026-11-10"})),
        [(None, "call", "7 00:00", None, None)],
    ),
    "a box not checked since the tube was placed is a note until a whole check": (
        "box_incomplete",
        _entries(("1 00:00", "tube_change", TUBE), ("2 08:00", "box_check", FULL_BOX)),
        [(None, "note", "1 00:00", "2 08:00", "entry")],
    ),
    "a box without gloves is a note; without a spare tube it calls": (
        "box_incomplete",
        _entries(
            ("1 00:00", "tube_change", TUBE),
            ("2 08:00", "box_check", FULL_BOX),
            ("3 08:00", "box_check", LESS_BOX),
            ("4 08:00", "box_check", FULL_BOX),
            ("5 08:00", "box_check", NO_SPARE),
        ),
        [
            (None, "note", "1 00:00", "2 08:00", "entry"),
            (None, "note", "3 08:00", "4 08:00", "entry"),
            (None, "call", "5 08:00", None, None),
        ],
    ),
    "a box that gets its spare tube but lacks gloves starts a new, lower flag": (
        "box_incomplete",
        _entries(
            ("1 00:00", "tube_change", TUBE),
            ("1 00:00", "box_check", NO_SPARE),
            ("3 08:00", "box_check", LESS_BOX),
        ),
        [(None, "call", "1 00:00", "3 08:00", "entry"), (None, "note", "3 08:00", None, None)],
    ),
    "gel that expires within 30 days is a note": (
        "expiry",
        _entries(("1 08:00", "box_check", {"expiries": {"gel": "2026-11-20"}})),
        [("gel", "note", "1 08:00", None, None)],
    ),
    "gel calls from the day after its last": (
        "expiry",
        _entries(("1 08:00", "box_check", {"expiries": {"gel": "2026-11-09"}})),
        [("gel", "call", "1 08:00", None, None)],
    ),
    "gel isn't told of more than 30 days ahead": (
        "expiry",
        _entries(("1 08:00", "box_check", {"expiries": {"gel": "2026-12"}})),
        [],
    ),
    "a suction machine that doesn't work calls, and where no other works it is urgent": (
        "equipment",
        _entries(
            ("2 08:00", "equipment_check", MACHINE),
            ("2 09:00", "equipment_check", {**MACHINE, "works": True}),
        ),
        [
            ("suction", "urgent", "2 08:00", "2 09:00", "entry"),
            ("suction_machine", "call", "2 08:00", "2 09:00", "entry"),
        ],
    ),
    "twelve hours without an entry are a note until the next": (
        "nothing_recorded",
        _entries(("2 08:00", "mouth_care", {}), ("2 22:00", "mouth_care", {})),
        [(None, "note", "2 20:00", "2 22:00", "entry"), (None, "note", "3 10:00", None, None)],
    ),
    "quiet hours aren't counted among the twelve": (
        "nothing_recorded",
        _entries(
            ("1 18:00", "plan", QUIET_PLAN), ("2 18:00", "mouth_care", {}), ("3 20:00", "mouth_care", {})
        ),
        [
            (None, "note", "2 13:00", "2 18:00", "entry"),
            (None, "note", "3 13:00", "3 20:00", "entry"),
            (None, "note", "4 15:00", None, None),
        ],
    ),
    "a task by hours is overdue from due and grace until the next doing": (
        "overdue",
        _entries(
            ("1 00:00", "plan", MOUTH_PLAN), ("1 08:00", "mouth_care", {}), ("1 19:00", "mouth_care", {})
        ),
        [
            ("mouth_care", "note", "1 17:00", "1 19:00", "entry"),
            ("mouth_care", "note", "2 04:00", None, None),
        ],
    ),
    "an inner tube not looked at calls one more interval after it got late": (
        "overdue",
        _entries(("1 00:00", "plan", INNER_PLAN), ("1 08:00", "inner_tube", {"outcome": "clear"})),
        [("inner_tube", "call", "1 17:00", None, None)],
    ),
    "during a stay nothing is overdue": (
        "overdue",
        _entries(
            ("1 00:00", "plan", MOUTH_PLAN),
            ("1 08:00", "mouth_care", {}),
            ("1 18:00", "stay", {"action": "start"}),
        ),
        [("mouth_care", "note", "1 17:00", "1 18:00", "entry")],
    ),
    "a voice heard with the cuff up calls for 24 h": (
        "cuff_leak",
        _entries(
            ("1 00:00", "tube_change", TUBE), ("2 08:00", "cuff_state", {"state": "up", "voice_heard": True})
        ),
        [(None, "call", "2 08:00", "3 08:00", "time")],
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_the_flags_of_a_small_household_are(case: str, tmp_path: Path) -> None:
    rule, build, expected = CASES[case]
    home = Household(tmp_path)
    build(home)
    assert home.flags("1 00:00", "14 00:00", rule) == expected


def test_a_period_is_read_as_at_its_end(tmp_path: Path) -> None:
    home = Household(tmp_path)
    home.write("1 00:00", "tube_change", **{**TUBE, "next_due": "2026-11-10"})
    assert home.flags("6 00:00", "7 00:00", "tube_age") == []
    assert home.flags("6 00:00", "9 00:00", "tube_age") == [(None, "note", "7 00:00", None, None)]
    assert home.flags("6 00:00", "10 00:01", "tube_age") == [(None, "call", "7 00:00", None, None)]
