"""Both clock changes: a day is 23 or 25 hours long, an interval is what has passed."""

from typing import Any

import pytest

from carelog.analysis.flags.period import flags
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Home, Moment
from tests.flags.story import LONG_AGO

PERSON: dict[str, Any] = {"name": "Odette Farrow", "home_zone": "Europe/London"}


def at(text: str) -> Moment:
    """A time in full."""
    return Moment.read(text)


def identity(number: int) -> str:
    """An entry's id."""
    return f"00000000-0000-4000-8000-{number:012}"


HOME = Entry(identity(0), "person", at("2026-01-01T00:00:00Z"), 0, details=PERSON)


def told(rule: str, *entries: tuple[str, str, dict[str, Any]]) -> list[tuple[str, str]]:
    """One rule's flags in London: raised and ended, in London's time."""
    home = Home("Europe/London")
    made = [
        Entry(identity(n), kind, at(when), at(when).instant, details=details)
        for n, (when, kind, details) in enumerate(entries, 1)
    ]
    end = max(entry.recorded_at for entry in made) + 40 * DAY_24_H

    def words(instant: int | None) -> str:
        return "" if instant is None else home.moment(instant).text()[:16]

    found = [flag for flag in flags([HOME, *made], LONG_AGO, end) if flag.rule == rule]
    return [(words(flag.raised_at), words(flag.cleared_at)) for flag in found]


def plan(day: str, *tasks: dict[str, Any], quiet: bool = False) -> tuple[str, str, dict[str, Any]]:
    """A plan from the start of a day."""
    more = {"quiet": ["23:00", "06:00"]} if quiet else {}
    return f"{day}T00:00:00Z", "plan", {"set_by": "a nurse", "tasks": list(tasks), **more}


def test_24_h_are_24_h_across_both_changes() -> None:
    food = {"food_seen": True}
    assert told("food_seen", ("2026-10-24T12:00:00+01:00", "suction", food)) == [
        ("2026-10-24T12:00", "2026-10-25T11:00")
    ]
    assert told("food_seen", ("2027-03-27T12:00:00+00:00", "suction", food)) == [
        ("2027-03-27T12:00", "2027-03-28T13:00")
    ]


def test_two_readings_of_the_doubled_hour_keep_their_order() -> None:
    hot, cool = {"temperature_c": 38.5}, {"temperature_c": 37}
    found = told(
        "temperature",
        ("2026-10-25T01:40:00+01:00", "observations", hot),
        ("2026-10-25T01:20:00+00:00", "observations", cool),
    )
    assert found == [("2026-10-25T01:40", "2026-10-25T01:20")]


def test_a_flag_of_the_doubled_hour_says_which_of_the_two() -> None:
    hot = at("2026-10-25T01:40:00+01:00")
    reading = Entry(identity(1), "observations", hot, hot.instant, details={"temperature_c": 39})
    found = flags([HOME, reading], LONG_AGO, hot.instant + 1)
    assert [flag.headline for flag in found if flag.rule == "temperature"] == [
        "Temperature 39\N{NO-BREAK SPACE}°C at 01:40\N{NO-BREAK SPACE}(+01:00)."
    ]


def test_every_12_h_is_12_h_across_the_change() -> None:
    task = {"kind": "mouth_care", "every_h": 12, "grace_min": 0}
    assert told("overdue", plan("2026-10-24", task), ("2026-10-24T20:00:00+01:00", "mouth_care", {}))[
        -1:
    ] == [("2026-10-25T07:00", "")]
    assert told("overdue", plan("2027-03-27", task), ("2027-03-27T20:00:00+00:00", "mouth_care", {}))[
        -1:
    ] == [("2027-03-28T09:00", "")]


def test_a_slot_in_the_spring_gap_is_the_minute_after_it() -> None:
    task = {"kind": "mouth_care", "times": ["01:30"], "grace_min": 0}
    assert told("overdue", plan("2027-03-27", task), ("2027-03-27T01:00:00+00:00", "mouth_care", {})) == [
        ("2027-03-28T02:00", "")
    ]


def test_a_doubled_slot_is_the_first_of_the_two() -> None:
    task = {"kind": "mouth_care", "times": ["01:30"], "grace_min": 0}
    found = told(
        "overdue",
        plan("2026-10-24", task),
        ("2026-10-24T01:30:00+01:00", "mouth_care", {}),
        ("2026-10-25T01:29:00+00:00", "mouth_care", {}),
    )
    assert found[0] == ("2026-10-25T01:30", "2026-10-25T01:29")


def test_the_quiet_span_is_as_long_as_that_night() -> None:
    ties = {"action": "checked"}
    found = told(
        "nothing_recorded", plan("2026-10-24", quiet=True), ("2026-10-24T22:00:00+01:00", "ties", ties)
    )
    assert found[-1] == ("2026-10-25T17:00", "")
    found = told(
        "nothing_recorded", plan("2027-03-27", quiet=True), ("2027-03-27T22:00:00+00:00", "ties", ties)
    )
    assert found[-1] == ("2027-03-28T17:00", "")


@pytest.mark.parametrize(
    ("due", "note", "call"),
    [("2026-10-27", "2026-10-24T00:00", "2026-10-27"), ("2027-03-30", "2027-03-27T00:00", "2027-03-30")],
)
def test_three_days_before_a_date_is_a_local_midnight(due: str, note: str, call: str) -> None:
    tube = {"id_mm": 8, "cuff": "none", "inner_tube": "none", "next_due": due}
    start = "2026-10-20T12:00:00+01:00" if due < "2027" else "2027-03-20T12:00:00+00:00"
    assert told("tube_age", (start, "tube_change", tube)) == [(note, "")]
    assert level_at(start, tube, f"{call}T00:00:00{'+00:00' if due < '2027' else '+01:00'}") == (
        "note",
        "call",
    )


def level_at(start: str, tube: dict[str, Any], moment: str) -> tuple[str, str]:
    """The level of the tube's date just before a moment, and from it on."""
    change = Entry(identity(1), "tube_change", at(start), at(start).instant, details=tube)
    end = at(moment).instant
    levels = []
    for until in (end, end + 1):
        found: list[Flag] = flags([HOME, change], LONG_AGO, until)
        levels += [flag.level.word for flag in found if flag.rule == "tube_age"]
    return levels[0], levels[1]
