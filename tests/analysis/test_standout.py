"""A week at a glance: how many entries a day has, and the one thing that stood out, by what it means."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from carelog.analysis.in_force import Reading
from carelog.analysis.outside import Judging
from carelog.analysis.standout import DayGlance, glances, week_of
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag, Level, Matter
from carelog.domain.moment import DAY_24_H, HOUR, Home
from tests.store.making import START, change, entry

HOME = Home("UTC")
DAY = HOME.day(START)
LIMITS = {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}}
PLAN = entry(1, "plan", details={"set_by": "Nurse", "tasks": [], "limits": LIMITS})
HIGH = entry(2, "cuff_pressure", details={"value": 34, "unit": "cmH2O"})
POWER_CUT = entry(3, "incident", details={"what": "power_cut"})
TUBE = entry(4, "tube_change", details={"id_mm": 8, "cuff": "air", "inner_tube": "none"})


def flag(level: Level, headline: str, **given: Any) -> Flag:
    """A flag raised on the day."""
    told: dict[str, Any] = {"subject": None, "cleared_at": None, "cleared_by": None, "why": "", "entries": ()}
    told |= {"raised_at": START + HOUR}
    return Flag(rule="a_rule", level=level, headline=headline, **(told | given))


def day_of(entries: list[Entry], *flags: Flag) -> DayGlance:
    """What is said of the day."""
    reading = Reading(entries)
    (found,) = glances(reading, Judging(reading), flags, HOME, [DAY])
    return found


def test_a_day_counts_what_is_in_force_and_says_nothing_where_nothing_stood_out() -> None:
    entries = [entry(5), entry(6), change(7, 6), entry(8), change(9, 8, withdrawn=True)]
    assert day_of(entries) == DayGlance(DAY, 2, "")
    assert day_of([]) == DayGlance(DAY, 0, "")


@pytest.mark.parametrize(
    ("entries", "flags", "words"),
    [
        ([PLAN], (), "plan changed"),
        ([PLAN, HIGH], (), "Cuff pressure 34"),
        ([PLAN, TUBE], (flag(Level.NOTE, "A small thing"),), "Tube change"),
        ([PLAN, HIGH, TUBE], (flag(Level.CALL, "More suctions than usual"),), "More suctions than usual"),
        ([PLAN, POWER_CUT, HIGH], (flag(Level.CALL, "More suctions"),), "power cut"),
        ([POWER_CUT], (flag(Level.URGENT, "Fresh blood"),), "power cut"),
        ([HIGH, TUBE], (flag(Level.URGENT, "Fresh blood"),), "Fresh blood"),
        ([entry(5)], (flag(Level.CALL, "Inner tube overdue", matter=Matter.LATENESS),), ""),
    ],
)
def test_the_one_thing_is_chosen_by_what_it_means(
    entries: list[Entry], flags: tuple[Flag, ...], words: str
) -> None:
    found = day_of(entries, *flags).words
    assert words in found if words else found == ""


def test_an_end_of_an_incident_is_none() -> None:
    ended = entry(9, "incident", details={"what": "power_cut", "ends": POWER_CUT.id})
    assert day_of([ended]).words == ""


def test_each_day_has_its_own_entries_and_flags() -> None:
    days = week_of(DAY)
    reading = Reading([PLAN, HIGH])
    later = flag(Level.CALL, "More suctions", raised_at=START + 2 * DAY_24_H)
    found = glances(reading, Judging(reading), [later], HOME, days)
    assert [each.day for each in found] == days
    place = days.index(DAY)
    assert [bool(each.words) for each in found] == [n in (place, place + 2) for n in range(7)]


def test_a_week_begins_on_monday() -> None:
    assert week_of(date(2026, 11, 29))[0] == week_of(date(2026, 11, 23))[0] == date(2026, 11, 23)


def test_what_a_later_change_shows_is_told_of_the_day_on_which_it_happened() -> None:
    was = entry(2, "suction")
    known = START + DAY_24_H + HOUR
    now = replace(change(3, 2, details={"amount": "large"}), recorded_at=known)
    visit = replace(entry(4, "visit", details={"nurse": "Nell"}), at=HOME.moment(known), recorded_at=known)
    reading = Reading([was, now, visit])
    large = flag(Level.CALL, "A large amount", raised_at=known, entries=(now.id,))
    first, second = glances(reading, Judging(reading), [large], HOME, [DAY, DAY + timedelta(days=1)])
    assert (first.words, second.words) == ("A large amount", "Nurse's visit")
