"""The course: rows of values over one axis; what nobody recorded is blank, never zero."""

from datetime import date, timedelta
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from carelog.analysis.course.axis import ColumnState, days_to
from carelog.analysis.course.course import DRAWABLE, WholeCourse, course
from carelog.analysis.course.rows import Counts, Doings, Readings, Runs, Shares
from carelog.analysis.course.told import cell_words, sentence, table
from carelog.analysis.in_force import Reading
from carelog.analysis.learnt import learnt_band, learnt_bands
from carelog.analysis.period import period
from carelog.analysis.plans import plans
from carelog.analysis.week import Review
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import DAY_24_H, Instant, Moment
from tests.analysis.notebook import TUBE, Notebook, at
from tests.strategies import FIRST, entries

CUFF = {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}}
ALL_NAMES = [each.name for each in DRAWABLE]


def review(found: list[Entry], days: list[date], now: Instant | None = None) -> Review:
    """A review of some days, judged up to a moment (None: all of them are past)."""
    reading = Reading(found)
    return Review(reading, found, period(reading, days, None, now), plans(reading))


def november(book: Notebook, first: int, last: int, now: str | None = None, **more: Any) -> WholeCourse:
    """The course of some days of November 2026."""
    days = days_to(date(2026, 11, last), last - first + 1)
    return course(review(book.entries, days, None if now is None else at(now)), names=ALL_NAMES, **more)


def row(found: WholeCourse, name: str) -> Any:
    """The row of that name."""
    return next(each for each in found.rows if each.name == name)


def names(found: WholeCourse) -> list[str]:
    return [each.name for each in found.rows]


def told(found: WholeCourse, number: int) -> str:
    """A column's sentence, its spaces plain."""
    return sentence(found, number).text.replace("\xa0", " ")


def test_a_day_about_which_nothing_was_written_is_blank_and_one_with_other_care_counts_0() -> None:
    book = Notebook()
    book.write("2 08:00", "suction")
    book.write("4 08:00", "mouth_care")
    book.write("5 08:00", "note")
    found = november(book, 2, 5)
    assert [cell and cell.low for cell in row(found, "suctions").cells] == [1, None, 0, None]
    assert told(found, 1) == "Tue 3 November 2026: nothing is recorded."
    assert told(found, 2) == "Wed 4 November 2026: 0 suctions."


def test_a_day_away_says_so_and_counts_no_0() -> None:
    book = Notebook()
    book.write("2 08:00", "suction")
    book.write("3 09:00", "stay", action="start", where="hospital")
    book.write("5 09:00", "stay", action="end")
    book.write("5 10:00", "mouth_care")
    found = november(book, 2, 5)
    assert [cell and cell.low for cell in row(found, "suctions").cells] == [1, None, None, None]
    assert found.axis.columns[2].state is ColumnState.AWAY
    assert told(found, 2) == "Wed 4 November 2026: away, nothing is recorded; away: hospital."


def test_a_suction_that_is_not_through_the_tube_is_told_beside_what_is_compared() -> None:
    book = Notebook()
    book.write("2 08:00", "suction")
    book.write("2 09:00", "suction", route="oral")
    (cell,) = row(november(book, 2, 2), "suctions").cells
    assert (cell.low, cell.beside) == (1, 1)
    assert "1 suction and 1 not through the tube" in told(november(book, 2, 2), 0)


def test_a_day_that_goes_on_is_told_so_far_and_never_lies_below_what_is_usual() -> None:
    book = Notebook()
    for day in range(1, 21):
        for hour in range(6, 22, 2):
            book.write(f"{day} {hour:02}:00", "suction")
    book.write("21 01:00", "suction")
    found = november(book, 15, 21, "21 01:30")
    suctions = row(found, "suctions")
    assert suctions.usual[0] is not None
    assert not suctions.is_outside(6)
    assert "1 suction so far, usually" in told(found, 6)
    over = november(book, 15, 21)
    assert row(over, "suctions").is_outside(6)


def test_days_to_come_hold_nothing() -> None:
    book = Notebook()
    book.write("2 08:00", "suction")
    found = november(book, 2, 4, "2 09:00")
    assert [each.state for each in found.axis.columns] == [
        ColumnState.RECORDED,
        ColumnState.AHEAD,
        ColumnState.AHEAD,
    ]
    assert told(found, 2) == "Wed 4 November 2026: not yet."


def test_thickness_and_amount_are_shares_of_what_was_described() -> None:
    book = Notebook()
    book.write("2 08:00", "suction", consistency="thin", amount="small")
    book.write("2 09:00", "suction", consistency="sticky")
    book.write("2 10:00", "suction")
    book.write("3 10:00", "suction")
    found = november(book, 2, 3)
    assert row(found, "thickness").cells == ((1, 0, 1, 0, 0), None)
    assert row(found, "amount").cells == ((1, 0, 0), None)
    assert "Thickness: thin 1, sticky 1 of 2; Amount: small 1." in told(found, 0)


def test_colours_that_are_told_together_make_one_run_and_a_blank_day_ends_it() -> None:
    book = Notebook()
    for day, colour in ((2, "white"), (3, "clear"), (4, None), (5, "white"), (6, "yellow"), (7, "yellow")):
        if colour:
            book.write(f"{day} 08:00", "suction", colour=colour)
    book.write("5 09:00", "suction", colour="yellow")
    book.write("5 10:00", "suction", colour="white")
    colours = row(november(book, 2, 7), "colour")
    assert [(run.first, run.last, run.words, run.is_marked) for run in colours.runs] == [
        (0, 1, "clear, white", False),
        (3, 3, "white", False),
        (4, 5, "yellow", True),
    ]
    assert colours.cells[3] == "white 2, yellow 1"


def test_blood_is_told_where_it_was_seen_and_blank_where_nobody_looked() -> None:
    book = Notebook()
    book.write("2 08:00", "suction", blood="none")
    book.write("3 08:00", "suction")
    book.write("4 08:00", "suction", colour="white", blood="streaks")
    book.write("4 09:00", "suction", colour="red")
    signs = row(november(book, 2, 4), "blood").cells
    assert (signs[0].words, signs[1], signs[2].words, signs[2].times) == ("", None, "red", 2)


def test_cuff_readings_lie_against_each_plan_over_its_own_time() -> None:
    book = Notebook()
    book.plan("1 00:00", limits=CUFF)
    book.plan("3 00:00", limits={"cuff_pressure": {"low": 22, "high": 26, "unit": "cmH2O"}})
    book.write("1 01:00", "tube_change", **TUBE)
    book.write("2 12:00", "cuff_pressure", value=28, unit="cmH2O")
    book.write("3 12:00", "cuff_pressure", value=28, unit="cmH2O", value_after=25)
    cuff = row(november(book, 2, 4), "cuff")
    assert isinstance(cuff, Readings)
    assert [(band.low, band.high, band.start, band.end) for band in cuff.bands] == [
        (Fraction(20), Fraction(30), 0.0, 1.0),
        (Fraction(22), Fraction(26), 1.0, 3.0),
    ]
    assert [[point.is_outside for point in cell] if cell else None for cell in cuff.cells] == [
        [False],
        [True],
        None,
    ]
    assert cuff.cells[1] is not None
    assert (cuff.cells[1][0].words, cuff.cells[1][0].left) == ("28", "25")
    label = cuff.limits.replace("\xa0", " ")
    assert label == "plan: 20 to 30 cmH2O until Tue 3 Nov, 00:00, then 22 to 26 cmH2O"
    assert "28 (left at 25) cmH2O (outside the limits: 1)" in told(november(book, 2, 4), 1)


def test_a_temperature_in_fahrenheit_stands_at_its_place_in_celsius_and_as_it_was_read() -> None:
    book = Notebook()
    book.write("2 08:00", "observations", temperature_f=101.3)
    book.write("2 09:00", "observations", temperature_c=37)
    temperature = row(november(book, 2, 2), "temperature")
    first, second = temperature.cells[0]
    assert (first.value, first.words.replace("\xa0", " "), first.is_outside) == (
        Fraction("38.5"),
        "101.3 °F",
        True,
    )
    assert (second.words, second.is_outside) == ("37", False)


def test_a_reading_that_nobody_took_has_no_row_and_is_named_as_absent() -> None:
    book = Notebook()
    book.write("2 08:00", "suction")
    found = november(book, 2, 2)
    assert names(found) == ["suctions", "flagged"]
    assert "SpO2" in found.absent


def test_the_stoma_is_worse_only_than_at_a_look_before() -> None:
    book = Notebook()
    book.write("1 08:00", "stoma", skin="whole", crust="none")
    book.write("2 08:00", "stoma", skin="whole", crust="none")
    book.write("3 08:00", "stoma", skin="red", crust="none")
    book.write("4 08:00", "stoma", skin="red", crust="none")
    signs = row(november(book, 2, 5), "stoma").cells
    assert [sign and sign.words for sign in signs] == ["", "skin red", "", None]


def test_an_inner_tube_that_was_stuck_is_told_beside_what_was_found() -> None:
    book = Notebook()
    book.write("2 08:00", "inner_tube", outcome="cleaned", found="crusted")
    book.write("2 12:00", "inner_tube", outcome="stuck")
    found = row(november(book, 2, 2), "found")
    assert found.cells == ((0, 0, 1, 0),)
    assert found.beside == ("stuck, could not be removed",)


def test_what_was_asked_for_and_not_recorded_is_named() -> None:
    book = Notebook()
    book.plan("1 00:00", {"kind": "mouth_care", "times": ["08:00", "20:00"]})
    book.write("2 08:05", "mouth_care")
    book.write("3 08:00", "mouth_care")
    book.write("3 20:00", "mouth_care")
    asked = row(november(book, 2, 3), "asked")
    assert isinstance(asked, Doings)
    assert [(cell.recorded, cell.missed) for cell in asked.cells if cell] == [(1, ("Mouth care",)), (2, ())]
    assert "1 of 2 asked for recorded; not recorded: Mouth care" in told(november(book, 2, 3), 0)


def test_tubes_plans_visits_incidents_and_illness_are_marked() -> None:
    book = Notebook()
    book.plan("2 00:00", {"kind": "ties", "every_h": 24})
    book.write("2 10:00", "tube_change", **TUBE)
    book.write("3 00:00", "ill", action="start")
    first = book.write("4 12:00", "incident", what="power_cut")
    book.write("4 13:00", "incident", what="power_cut", ends=first.id)
    book.write("5 00:00", "ill", action="end")
    book.write("5 10:00", "visit", nurse="Nell Tarrowby")
    found = november(book, 2, 6)
    assert [(each.short, each.column, each.end) for each in found.marks] == [
        ("plan", 0, None),
        ("tube changed", 0, None),
        ("ill", 1, 3.0),
        ("power cut", 2, None),
        ("nurse", 3, None),
    ]
    assert told(found, 2).endswith("ill; incident: power cut.")
    assert "ill" not in told(found, 4)


def test_a_flag_stands_in_the_column_in_which_it_was_raised_and_the_worst_leads() -> None:
    def flag(level: Level, moment: str, headline: str) -> Flag:
        return Flag("plug", None, level, at(moment), None, None, headline, "", ())

    book = Notebook()
    book.write("2 08:00", "suction")
    given = [flag(Level.NOTE, "3 10:00", "Note."), flag(Level.URGENT, "3 11:00", "Urgent.")]
    found = november(book, 2, 4, flags=given)
    signs = row(found, "flagged").cells
    assert [sign and (sign.level, sign.times) for sign in signs] == [None, (Level.URGENT, 2), None]
    assert told(found, 1).endswith("flagged: Urgent. Note.")
    unread = row(november(book, 2, 4), "flagged")
    assert (unread.is_read, unread.cells) == (False, (None, None, None))
    assert "flagged" not in names(november(book, 2, 4, flags=[]))


def test_over_a_year_a_column_is_a_week_and_tells_the_middle_of_its_recorded_days() -> None:
    book = Notebook()
    for day, count in ((16, 4), (17, 6), (18, 11)):
        for hour in range(count):
            book.write(f"{day} {hour + 8:02}:00", "suction")
    days = days_to(date(2026, 11, 22), 364)
    found = course(review(book.entries, days))
    assert (found.axis.count, found.axis.is_by_day) == (52, False)
    cell = row(found, "suctions").cells[-1]
    assert (cell.middle, cell.low, cell.high, cell.days) == (6, 4, 11, 3)
    assert told(found, 51) == (
        "Mon 16 Nov to Sun 22 November 2026: Suctions a day: 6 in the middle, 4 to 11."
    )
    assert row(found, "suctions").cells[0] is None


def test_only_chosen_rows_are_drawn_in_their_order_and_an_unknown_one_is_passed_over() -> None:
    book = Notebook()
    book.write("2 08:00", "suction", consistency="thin", colour="white")
    days = [date(2026, 11, 2)]
    found = course(review(book.entries, days), names=["colour", "weather", "suctions", "colour"])
    assert names(found) == ["colour", "suctions"]


def test_the_table_holds_every_row_and_says_what_is_not_recorded() -> None:
    book = Notebook()
    book.write("2 08:00", "suction", consistency="thin")
    book.write("3 08:00", "suction")
    shown = table(november(book, 2, 4))
    assert shown.names[0] == "Mon\xa02\xa0November\xa02026"
    assert dict(shown.rows)["Thickness"] == ("thin 1", "not recorded", "nothing is recorded")


def test_the_band_of_a_week_is_the_one_of_that_weeks_sheet() -> None:
    book = Notebook()
    for day in range(1, 29):
        for number in range(5 + day % 4):
            book.write(f"{day} {8 + number:02}:00", "suction")
    days = days_to(date(2026, 11, 28), 14)
    both = review(book.entries, days)
    alone = review(book.entries, days[7:])
    assert learnt_bands(both, [7]) == [learnt_band(alone)]
    assert row(course(both), "suctions").usual[7:] == (learnt_band(alone),) * 7


MADE_OF = {"found": "inner_tube", "stoma": "stoma", "cuff": "cuff_pressure", "temperature": "observations"}
"""Of rows about something else than suction, the kind that they are made of."""


@pytest.mark.parametrize("count", [7, 91, 364])
@settings(max_examples=25)
@given(found=st.lists(entries, max_size=25, unique_by=lambda each: each.id), data=st.data())
def test_whatever_is_recorded_every_row_has_a_cell_a_column_and_blank_stays_blank(
    count: int, found: list[Entry], data: st.DataObject
) -> None:
    last = Moment(FIRST + data.draw(st.integers(0, 700)) * DAY_24_H)
    reading = Reading(found)
    seen = review(found, days_to(reading.home.day(last.instant), count))
    shown = course(seen, names=ALL_NAMES)
    assert (shown.axis.columns[0].start, shown.axis.columns[-1].end) == (seen.period.start, seen.period.end)
    inside = [held for held in reading.held if seen.period.holds(held.time)]
    kinds = {(shown.axis.place(held.time), held.entry.kind) for held in inside}
    for each in shown.rows:
        assert len(each.cells) == shown.axis.count
        filled = [number for number, cell in enumerate(each.cells) if cell is not None]
        if each.name in MADE_OF or isinstance(each, Shares | Runs):
            assert all((number, MADE_OF.get(each.name, "suction")) in kinds for number in filled)
        if isinstance(each, Counts) and shown.axis.is_by_day:
            total = sum(cell.low + cell.beside for cell in each.cells if cell)
            assert total == sum(held.entry.kind == "suction" for held in inside)
    assert all(len(cells) == shown.axis.count for _, cells in table(shown).rows)
    for number, column in enumerate(shown.axis.columns):
        assert column.state is ColumnState.RECORDED or sentence(shown, number).parts


@settings(max_examples=25)
@given(found=st.lists(entries, max_size=15, unique_by=lambda each: each.id), data=st.data())
def test_any_order_of_arrival_gives_the_same_course(found: list[Entry], data: st.DataObject) -> None:
    days = days_to(date(2026, 6, 30), 91)
    one = course(review(found, days))
    other = course(review(data.draw(st.permutations(found)), days))
    assert (one.rows, one.marks, one.axis.columns) == (other.rows, other.marks, other.axis.columns)


def test_days_to_a_day_end_with_it() -> None:
    found = days_to(date(2026, 3, 1), 3)
    assert found == [date(2026, 3, 1) - timedelta(days=number) for number in (2, 1, 0)]


def test_what_was_found_is_told_with_its_rows_title_and_a_look_that_found_nothing_only_in_its_cell() -> None:
    book = Notebook()
    book.write("2 09:00", "stoma", skin="red")
    book.write("3 09:00", "stoma", skin="normal")
    found = november(book, 2, 3)
    stoma = row(found, "stoma")
    assert told(found, 0) == "Mon 2 November 2026: 0 suctions; Stoma worse than before: skin red."
    assert told(found, 1) == "Tue 3 November 2026: 0 suctions."
    assert [cell_words(stoma, day) for day in (0, 1)] == ["skin red", "nothing worse"]
