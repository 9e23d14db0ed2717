"""What of a week is past is the clock's to say: empty days of it aren't recorded, and it is never printed."""

import re
from collections.abc import Sequence
from datetime import date
from typing import Any

from carelog.domain.entry import Entry
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import Moment, Week
from carelog.domain.paper import SheetRequest
from carelog.sheet import make
from tests.sheet.pages import entry, running, sheet

W47 = Week(2026, 47)
PLAN: dict[str, Any] = {"set_by": "a nurse", "tasks": [{"kind": "ties", "times": ["09:00"]}]}


def at(text: str) -> int:
    return Moment.read(f"2026-11-{text}:00Z").instant


def stopped() -> list[Entry]:
    """A household that wrote nothing any more after Tuesday morning."""
    return [
        entry(1, "2026-11-02T06:00:00Z", "plan", details=PLAN),
        entry(2, "2026-11-16T09:05:00Z", "ties", details={"action": "checked"}),
        entry(3, "2026-11-17T09:05:00Z", "ties", details={"action": "checked"}),
    ]


def test_a_household_that_stopped_writing_has_days_that_are_not_recorded() -> None:
    text = running(sheet(stopped(), W47, now=at("25T12:00")))
    assert "UNFINISHED" not in text
    assert "not yet" not in text
    assert text.count("Nothing recorded.") == 5
    days = "Wed 18 09:00, Thu 19 09:00, Fri 20 09:00, Sat 21 09:00, Sun 22 09:00"
    assert f"Ties, asked for and not recorded: {days}" in text
    assert "Tue 17 09:05 to Mon 23 00:00: no entry for 5 days" in text
    assert "Holds what was recorded up to Tue 17 November 2026, 09:05." in text


def test_on_a_day_of_the_week_only_what_is_to_come_is_not_yet() -> None:
    text = running(sheet(stopped(), W47, now=at("19T12:00")))
    assert "UNFINISHED" in text
    assert "Ties, asked for and not recorded: Wed 18 09:00, Thu 19 09:00" in text
    assert text.count("Nothing recorded.") == 2
    assert text.count("Not yet.") == 3
    assert "since Tue 17 09:05: no entry" in text


def test_the_clock_decides_what_is_past_and_is_never_printed() -> None:
    texts = {running(sheet(stopped(), W47, now=at(f"19T{clock}"))) for clock in ("12:34", "12:35", "13:57")}
    assert len(texts) == 1
    assert not re.search(r"12:34|13:5[78]", texts.pop())


def test_the_same_moment_asked_for_makes_the_same_sheet_whatever_the_clock_says() -> None:
    clocks: list[int | None] = [None, at("19T12:00"), at("29T12:00")]
    assert len({sheet(stopped(), W47, at=at("19T08:00"), now=clock) for clock in clocks}) == 1


def test_flags_on_a_week_that_is_not_over_are_those_of_now() -> None:
    asked: list[tuple[int, int]] = []

    def replay(entries: Sequence[Entry], start: int, end: int) -> tuple[Flag, ...]:
        asked.append((start, end))
        return ()

    make(SheetRequest(week=W47, now=at("19T12:00")), stopped(), find_flags=replay)
    make(SheetRequest(week=W47, now=at("29T12:00")), stopped(), find_flags=replay)
    assert asked == [(at("16T00:00"), at("19T12:00") + 1), (at("16T00:00"), at("23T00:00"))]


def test_what_a_clock_ahead_wrote_raises_its_flag_on_the_week_that_is_not_over() -> None:
    ahead = entry(4, "2026-11-20T09:00:00Z", details={"blood": "fresh"})
    made = make(SheetRequest(week=W47, now=at("19T12:00")), [*stopped(), ahead])
    assert "Fresh or red blood" in running(made)


def test_the_seven_days_that_end_with_a_day_are_a_sheet_like_a_week() -> None:
    found = [*stopped(), entry(5, "2026-11-19T10:00:00Z", "note", note="the nurse came")]
    text = running(make(SheetRequest(until=date(2026, 11, 19)), found))
    assert "Seven days to 19 November 2026" in text
    assert "Fri 13 Nov to Thu 19 Nov 2026" in text
    assert "the nurse came" in text


def test_since_a_household_stopped_writing_the_rounds_stand_in_their_rows_alone() -> None:
    silence = Flag(
        "nothing_recorded",
        None,
        Level.NOTE,
        at("18T06:00"),
        None,
        None,
        "Nothing recorded for 5 days.",
        "",
        (),
    )
    late = entry(4, "2026-11-16T12:00:00Z", "ties", details={"action": "checked"})
    whole = [each for each in stopped() if each.id != entry(2, "2026-11-16T09:05:00Z").id]
    made = make(SheetRequest(week=W47, now=at("25T12:00")), [*whole, late], find_flags=lambda *_: (silence,))
    text = running(made)
    assert "Nor is anything recorded that the plan asked for since then." in text
    assert "asked for and not recorded" not in text
    assert text.split("Seven days")[-1].split("No entry for")[0].count("not recorded") == 5


def test_a_day_of_which_nothing_was_written_down_isnt_compared_as_if_nothing_had_happened() -> None:
    days = [
        f"2026-{month}-{day:02}" for month, last in (("10", 31), ("11", 17)) for day in range(1, last + 1)
    ]
    found = [entry(n, f"{day}T0{n % 2 + 8}:00:00Z") for n, day in enumerate(2 * days)]
    text = running(sheet(found, W47, now=at("19T12:00")))
    assert "Not compared, since nothing at all was recorded: Wed 18." in text
    assert "0 on Wed 18" not in text
    one = entry(200, "2026-11-18T08:00:00Z", "ties", details={"action": "checked"})
    assert "0 on Wed 18" not in running(sheet([*found, one], W47, now=at("19T12:00")))  # not the whole of it
    times = ("17T14:00", "17T19:00", "18T00:00", "18T05:00", "18T10:00", "18T15:00", "18T20:00", "19T01:00")
    others = [
        entry(300 + n, f"2026-11-{time}:00Z", "ties", details={"action": "checked"})
        for n, time in enumerate(times)
    ]
    assert "Suction 0 on Wed 18 (before 2)" in running(sheet([*found, *others], W47, now=at("19T12:00")))
