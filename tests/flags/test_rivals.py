"""Until somebody chooses between two sides, what is urgent by itself on the losing one raises its flag."""

from dataclasses import replace
from typing import Any

import pytest

from carelog.analysis.flags.period import flags
from carelog.domain.entry import Entry
from tests.flags.story import START, Story, clock, short

TUBE = {"id_mm": 8, "cuff": "air", "inner_tube": "none"}
SHOWN: dict[str, tuple[str, dict[str, Any], dict[str, Any]]] = {
    "blood": ("suction", {"blood": "fresh"}, {"blood": "none"}),
    "froth": ("suction", {"frothy": True, "colour": "pink"}, {"frothy": False}),
    "breathing": ("suction", {"breathing_after": "harder"}, {"breathing_after": "easier"}),
    "catheter_not_passed": ("suction", {"catheter_passed": "no"}, {"catheter_passed": "freely"}),
    "crackling": ("stoma", {"crackling": True}, {"crackling": False}),
    "tube_change_failed": ("tube_change", {**TUBE, "ease": "failed"}, {**TUBE, "ease": "easy"}),
    "incident": ("incident", {"what": "other"}, {"what": "equipment"}),
}


class Conflict:
    """An entry of 08:00 that two computers changed."""

    def __init__(self, kind: str, first: dict[str, Any]) -> None:
        story = Story().tell("a: 2 08:00 note")
        self.first = replace(story.named["a"], kind=kind, details=first)
        self.entries: list[Entry] = [self.first]

    def side(self, known: str, details: dict[str, Any] | None, of: Entry | None = None) -> Entry:
        """A change of it; details None strike out."""
        made = replace(
            of or self.first,
            id=f"00000000-0000-0000-0000-0000000001{len(self.entries):02}",
            amends=(of or self.first).id,
            recorded_at=clock(known),
            details=details or {},
            withdrawn=details is None,
            reason="on the other computer",
        )
        self.entries.append(made)
        return made

    def told(self, rule: str) -> list[tuple[str, str, str]]:
        """Level, raised and cleared of a rule's flags."""
        found = flags(self.entries, START, clock("2 12:00"))
        return [(f.level.word, short(f.raised_at), short(f.cleared_at)) for f in found if f.rule == rule]


@pytest.mark.parametrize("rule", SHOWN)
def test_the_losing_side_still_raises_it_and_the_winning_one_never_clears_it(rule: str) -> None:
    kind, shows, other = SHOWN[rule]
    conflict = Conflict(kind, TUBE if kind == "tube_change" else other)
    losing = conflict.side("2 08:05", shows)
    conflict.side("2 08:06", other)
    ((_, raised, cleared),) = [each for each in conflict.told(rule) if each[1] == "2 08:05"]
    assert (raised, cleared) == ("2 08:05", "")
    conflict.side("2 09:00", None, of=losing)
    assert [each[2] for each in conflict.told(rule) if each[1] == "2 08:05"] == ["2 09:00"]


@pytest.mark.parametrize("rule", SHOWN)
def test_it_does_though_the_other_side_strikes_the_entry_out(rule: str) -> None:
    kind, shows, other = SHOWN[rule]
    conflict = Conflict(kind, TUBE if kind == "tube_change" else other)
    conflict.side("2 08:05", shows)
    conflict.side("2 08:06", None)
    assert [each[1:] for each in conflict.told(rule) if each[1] == "2 08:05"] == [("2 08:05", "")]


@pytest.mark.parametrize("rule", SHOWN)
def test_it_ends_when_somebody_keeps_the_side_that_struck_the_entry_out(rule: str) -> None:
    kind, shows, other = SHOWN[rule]
    conflict = Conflict(kind, TUBE if kind == "tube_change" else other)
    losing = conflict.side("2 08:05", shows)
    conflict.side("2 08:06", None)
    conflict.side("2 09:00", None, of=losing)
    assert [each[1:] for each in conflict.told(rule) if each[1] == "2 08:05"] == [("2 08:05", "2 09:00")]


@pytest.mark.parametrize("rule", SHOWN)
def test_it_stands_though_the_household_moves_to_another_zone(rule: str) -> None:
    """All is read again then; the struck entry isn't in force, and its losing side counts all the same."""
    kind, shows, other = SHOWN[rule]
    conflict = Conflict(kind, TUBE if kind == "tube_change" else other)
    conflict.side("2 08:05", shows)
    conflict.side("2 08:06", None)
    (moved,) = Story().tell("2 10:00 person name=Odette home_zone=Asia/Tokyo").entries
    conflict.entries.append(replace(moved, id="f" * 36))
    assert [each[1:] for each in conflict.told(rule) if each[1] == "2 08:05"] == [("2 08:05", "")]


def test_it_is_raised_also_where_the_losing_side_comes_last() -> None:
    conflict = Conflict("suction", {})
    winning = conflict.side("2 08:06", {"colour": "white"})
    late = conflict.side("2 08:05", {"blood": "fresh"})
    conflict.entries = [conflict.first, winning, late]
    assert conflict.told("blood") == [("urgent", "2 08:05", "")]


def test_it_is_raised_also_where_the_losing_side_comes_after_a_strike() -> None:
    conflict = Conflict("suction", {})
    conflict.side("2 08:06", None)
    conflict.side("2 08:05", {"blood": "fresh"})
    assert conflict.told("blood") == [("urgent", "2 08:05", "")]


def test_what_is_no_more_than_a_call_takes_no_part_from_a_losing_side() -> None:
    conflict = Conflict("suction", {})
    conflict.side("2 08:05", {"catheter_passed": "tight", "smell": "new", "food_seen": True})
    conflict.side("2 08:06", {"colour": "white"})
    for rule in ("catheter_not_passed", "smell", "food_seen"):
        assert [each[1:] for each in conflict.told(rule)] == [("2 08:05", "2 08:06")]


def test_one_change_after_another_is_no_conflict() -> None:
    conflict = Conflict("suction", {})
    shown = conflict.side("2 08:05", {"blood": "fresh"})
    conflict.side("2 08:06", {"colour": "white"}, of=shown)
    assert conflict.told("blood") == [("urgent", "2 08:05", "2 08:06")]


LIMITS: dict[str, tuple[dict[str, Any], dict[str, Any], dict[str, Any]]] = {
    "spo2": ({"spo2_percent": {"low": 92, "urgent_low": 85}}, {"spo2_percent": 80}, {"spo2_percent": 97}),
    "pulse": (
        {"pulse_per_min": {"high": 110, "urgent_high": 150}},
        {"pulse_per_min": 170},
        {"pulse_per_min": 80},
    ),
    "temperature": (
        {"temperature_c": {"high": 38, "urgent_high": 40}},
        {"temperature_c": 40.5},
        {"temperature_c": 36.9},
    ),
}


class ReadTwice(Conflict):
    """A reading of 08:00 that two computers changed, with a plan that has urgent limits."""

    def __init__(self, rule: str) -> None:
        limits, self.urgent, self.inside = LIMITS[rule]
        super().__init__("observations", self.inside)
        plan = replace(
            self.first,
            id="00000000-0000-0000-0000-000000000999",
            kind="plan",
            at=replace(self.first.at, instant=clock("1 08:00")),
            recorded_at=clock("1 08:00"),
            details={"set_by": "a nurse", "tasks": [], "limits": limits},
        )
        self.entries.append(plan)

    def read(self, when: str, details: dict[str, Any]) -> None:
        """Another reading."""
        made = replace(
            self.first,
            id=f"00000000-0000-0000-0000-0000000002{len(self.entries):02}",
            at=replace(self.first.at, instant=clock(when)),
            recorded_at=clock(when),
            details=details,
        )
        self.entries.append(made)


@pytest.mark.parametrize("rule", LIMITS)
def test_an_urgent_reading_on_the_losing_side_raises_it_until_the_next_one_inside(rule: str) -> None:
    read = ReadTwice(rule)
    read.side("2 08:05", read.urgent)
    read.side("2 08:06", read.inside)
    assert read.told(rule) == [("urgent", "2 08:05", "")]
    read.read("2 09:00", read.inside)
    assert read.told(rule) == [("urgent", "2 08:05", "2 09:00")]


@pytest.mark.parametrize("rule", LIMITS)
def test_it_ends_when_somebody_keeps_the_other_reading(rule: str) -> None:
    read = ReadTwice(rule)
    losing = read.side("2 08:05", read.urgent)
    read.side("2 08:06", None)
    assert [each[2] for each in read.told(rule)] == [""]
    read.side("2 09:00", None, of=losing)
    assert [each[2] for each in read.told(rule)] == ["2 09:00"]


@pytest.mark.parametrize("rule", LIMITS)
def test_a_reading_on_the_losing_side_that_isnt_urgent_raises_nothing(rule: str) -> None:
    read = ReadTwice(rule)
    name, value = next(iter(read.urgent.items()))
    call = {"spo2": 90, "pulse": 120, "temperature": 38.5}[rule]
    assert value != call
    read.side("2 08:05", {name: call})
    read.side("2 08:06", read.inside)
    assert [each[0] for each in read.told(rule) if each[2] == ""] == []
