"""What is usual on a day is one thing: on a course of any length, the visit, the week's sheet, by a flag."""

from collections.abc import Callable
from datetime import date

import pytest

from carelog.analysis.course.axis import days_to
from carelog.analysis.course.course import course
from carelog.analysis.in_force import Reading
from carelog.analysis.learnt import learnt_band, learnt_bands
from carelog.analysis.period import period
from carelog.analysis.plans import plans
from carelog.analysis.visit.visit import VisitDays, visit
from carelog.analysis.week import Review
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, Home
from tests.detection.steady import Steady, moment

HOME = Home("UTC")
NOW = moment(70.5)
TODAY = HOME.day(NOW)


def even() -> Steady:
    household = Steady()
    household.days(0, 71)
    return household


def ill() -> Steady:
    """A week that the household marked as ill, with twice as many."""
    household = Steady()
    household.days(0, 50)
    household.write(50, "ill", action="start")
    household.days(50, 57, suctions=22)
    household.write(57, "ill", action="end")
    household.days(57, 71)
    return household


def standing_out() -> Steady:
    """Nine days with twice as many, thick ones, that nobody marked."""
    household = Steady()
    household.days(0, 50)
    household.days(50, 59, suctions=20, consistency="sticky", colour="yellow")
    household.days(59, 71)
    return household


def retubed() -> Steady:
    """Another tube, and half as many since."""
    household = Steady()
    household.days(0, 50)
    household.write(50.4, "tube_change", id_mm=7, cuff="air", inner_tube="reusable")
    household.days(50, 71, suctions=5)
    return household


HOUSEHOLDS = [even, ill, standing_out, retubed]


def review(entries: list[Entry], days: list[date]) -> Review:
    reading = Reading(entries, live_now=NOW)
    return Review(reading, entries, period(reading, days, NOW, NOW), plans(reading))


def known(household: Steady) -> list[Entry]:
    return [each for each in household.entries if each.recorded_at <= NOW]


@pytest.mark.parametrize("made", HOUSEHOLDS)
def test_it_is_the_one_that_a_flag_of_that_day_compares_with(made: Callable[[], Steady]) -> None:
    household = made()
    noticing = household.noticing(until=70.5)
    wanted = noticing.course.usual(noticing.today, noticing.head).rate.band()
    assert learnt_band(review(known(household), days_to(TODAY, 7))) == wanted


@pytest.mark.parametrize("made", HOUSEHOLDS)
def test_its_the_same_for_the_same_days_however_many_stand_beside_them(made: Callable[[], Steady]) -> None:
    entries = known(made())
    week = learnt_band(review(entries, days_to(TODAY, 7)))
    for count in (14, 28, 91):
        found = course(review(entries, days_to(TODAY, count)), ())
        (row,) = [each for each in found.rows if each.name == "suctions"]
        assert row.usual[-1] == week  # type: ignore[union-attr]
    assert week is not None
    (suctions,) = [
        each
        for each in visit(Reading(entries, live_now=NOW), entries, VisitDays.to(TODAY), NOW, ()).rows
        if each.name == "suctions"
    ]
    assert f"usually {week[0]} to {week[1]}" in suctions.beside


def test_of_a_week_that_is_over_it_is_what_it_was_then_and_of_days_to_come_what_it_is_now() -> None:
    entries = known(retubed())
    four_weeks = review(entries, days_to(TODAY, 28))
    then = learnt_band(review(entries, days_to(HOME.day(NOW - 21 * DAY_24_H), 7)))
    assert learnt_bands(four_weeks, [6]) == [then]
    ahead = review(entries, days_to(HOME.day(NOW + 3 * DAY_24_H), 7))
    assert learnt_band(ahead) == learnt_band(review(entries, days_to(TODAY, 7)))
