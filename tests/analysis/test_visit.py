"""A visit: two periods by the reading of the course and the sheet, what was signed, what changed since."""

from datetime import date
from typing import Any

import pytest

from carelog.analysis.course.course import course
from carelog.analysis.course.rows import Counts, Doings, Readings, Shares
from carelog.analysis.period import period
from carelog.analysis.plans import plans
from carelog.analysis.rounds import asked
from carelog.analysis.titles import with_days
from carelog.analysis.visit.code import CodeBook, read_code
from carelog.analysis.visit.cufftime import cuff_time
from carelog.analysis.visit.figure import FigureRow
from carelog.analysis.visit.questions import asked_questions, open_questions
from carelog.analysis.visit.signed import signed
from carelog.analysis.visit.visit import Visit, VisitDays, visit
from carelog.analysis.week import Review
from carelog.app.visit.reading import entries_of_visit, visit_of
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import HOUR, Home
from carelog.kinds.visit import VISIT
from tests.analysis.notebook import Notebook, at
from tests.ui.household import Memory

HOME = Home("UTC")
LIMITS = {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}}
LAST = date(2026, 11, 28)
DAYS = VisitDays.to(LAST)


def pressure(book: Notebook, when: str, value: int, **more: Any) -> None:
    book.write(when, "cuff_pressure", value=value, unit="cmH2O", **more)


def review(book: Notebook, days: tuple[date, ...], now: str) -> Review:
    reading = book.read()
    return Review(reading, book.entries, period(reading, days, at(now), at(now)), plans(reading))


def two_weeks() -> Notebook:
    """A plan, and two weeks of care; the second week has thicker secretions, a gap and one late round."""
    book = Notebook()
    book.write("1 08:00", "tube_change", id_mm=8, cuff="air", inner_tube="none")
    book.plan("1 08:00", {"kind": "mouth_care", "times": ["08:00", "20:00"]}, limits=LIMITS)
    for day in range(15, 29):
        is_second = day > 21
        for hour in ("06:00", "12:00", "18:00"):
            thick = "thick" if is_second and hour != "06:00" else "thin"
            by = "CD" if day == 28 else "AB"
            book.write(f"{day} {hour}", "suction", by=by, consistency=thick, amount="small", colour="white")
        book.write(f"{day} {'10:30' if day == 24 else '08:00'}", "mouth_care")
        if day != 25:
            book.write(f"{day} 20:00", "mouth_care")
        pressure(book, f"{day} 09:00", 34 if day == 27 else 25)
    return book


def shown(book: Notebook, now: str = "28 21:00", days: VisitDays = DAYS) -> Visit:
    return visit(book.read(), book.entries, days, at(now), ())


def row(found: Visit, name: str) -> FigureRow:
    (one,) = [each for each in found.rows if each.name == name]
    return one


def test_the_figures_are_those_of_the_courses_rows_and_the_sheets_rounds() -> None:
    book = two_weeks()
    found = shown(book)
    for which, days in (("here", DAYS.here), ("before", DAYS.beside)):
        read = review(book, days, "28 21:00")
        rows = {each.name: each for each in course(read).rows}
        thickness, suctions, cuff, doings = (
            rows[each] for each in ("thickness", "suctions", "cuff", "asked")
        )
        assert isinstance(thickness, Shares)
        assert isinstance(suctions, Counts)
        assert isinstance(cuff, Readings)
        assert isinstance(doings, Doings)
        cells = [cell for cell in thickness.cells if cell]
        (thick,) = getattr(row(found, "thick"), which)
        assert thick.words == f"{sum(sum(cell[1:]) for cell in cells)} of {sum(map(sum, cells))}"
        assert len(thick.entries) == sum(sum(cell[1:]) for cell in cells)
        (count,) = getattr(row(found, "suctions"), which)
        assert len(count.entries) == sum(cell.low for cell in suctions.cells if cell)
        points = [point for cell in cuff.cells for point in cell or ()]
        (inside,) = getattr(row(found, "cuff"), which)
        assert inside.words == f"{sum(not p.is_outside for p in points)} of {len(points)} inside"
        rounds = [one for each in asked(read) for one in each.rounds]
        told = getattr(row(found, "task_0"), which)
        assert sum(int(each.words.split()[0]) for each in told) == len(rounds)


def test_each_number_of_what_was_asked_for_leads_to_its_entries_or_to_when_it_was_asked_for() -> None:
    in_time, late, missed = row(shown(two_weeks()), "task_0").here
    assert (in_time.words, late.words, missed.words) == (
        "12 in time",
        "1 overdue",
        "1 not recorded: Wed\xa025 20:00",
    )
    assert len(in_time.entries) == 12
    assert len(late.entries) == 1
    assert missed.entries == ()
    assert missed.lines == ("Asked for Wed\xa025 20:00, not recorded",)


def test_any_two_periods_of_equal_length_stand_side_by_side() -> None:
    days = VisitDays(date(2026, 11, 28), 3, date(2026, 11, 20))
    found = row(shown(two_weeks(), days=days), "thick")
    assert found.here[0].words == "6 of 9"
    assert found.before[0].words == "0 of 9"
    assert len(days.here) == len(days.beside) == 3


def test_at_the_door_the_newest_temperature_is_told_however_old_and_a_new_rater_is_named() -> None:
    book = two_weeks()
    book.write("2 07:00", "observations", temperature_c=37.4)
    lines = {each.name: each for each in shown(book).door}
    assert lines["temperature"].figures[0].words == "37.4\xa0°C, Mon\xa02\xa0Nov 07:00, AB"
    raters = {each.words for each in lines["raters"].figures}
    assert raters == {"AB 18", "CD 3, new here"}
    assert lines["told"].figures[0].words == "nobody recorded telling anyone"
    assert lines["valve"].figures[0].words == "none recorded"


def test_what_nobody_recorded_is_never_none_or_zero() -> None:
    book = Notebook()
    book.write("1 08:00", "recorder", initials="AB", name="Ada")
    found = shown(book)
    words = {figure.words for each in found.rows for figure in (*each.here, *each.before)}
    assert "0 of 0" not in words
    assert "none" not in words
    assert row(found, "suctions").here[0].words == "not recorded"
    assert row(found, "incidents").here[0].words == "not recorded"


def test_a_cuff_reading_counts_till_the_next_till_24_h_or_till_the_cuff_comes_down() -> None:
    book = Notebook()
    book.write("1 00:00", "tube_change", id_mm=8, cuff="air", inner_tube="none")
    book.plan("1 00:00", limits=LIMITS)
    pressure(book, "22 00:00", 25)
    pressure(book, "22 12:00", 34)
    pressure(book, "22 18:00", 34, value_after=26)
    book.write("23 06:00", "cuff_state", state="down")
    book.write("23 12:00", "cuff_state", state="up")
    pressure(book, "24 00:00", 24)
    found = cuff_time(review(book, DAYS.here, "26 00:00"))
    assert found is not None
    assert found.inside // HOUR == 12 + 12 + 24
    assert found.outside // HOUR == 6
    assert found.unknown // HOUR == 12 + 24
    assert found.percent == 88


def test_a_question_is_answered_by_an_answer_to_any_version_of_it() -> None:
    book = Notebook()
    first = book.write("22 08:00", "question")
    change = book.amend(first, "22 09:00")
    book.write("22 10:00", "question")
    assert len(open_questions(asked_questions(book.read()))) == 2
    book.write("22 11:00", "answer", question=change.id)
    (left,) = open_questions(asked_questions(book.read()))
    assert left.held.time == at("22 10:00")


def test_at_the_door_a_question_is_marked_until_it_is_answered() -> None:
    book = Notebook()
    asked_one = book.write("22 08:00", "question")
    (line,) = [each for each in shown(book).door if each.name == "asks"]
    assert [(each.words, each.is_marked) for each in line.figures] == [("one question", True)]
    book.write("22 11:00", "answer", question=asked_one.id)
    (line,) = [each for each in shown(book).door if each.name == "asks"]
    assert [each.is_marked for each in line.figures] == [False]


def test_after_signing_what_is_added_changed_or_struck_out_is_told_and_what_comes_after_is_not() -> None:
    book = two_weeks()
    book.write("28 14:00", "visit", by="NB", nurse="Nell", until=LAST.isoformat(), signed=True)
    assert shown(book).since_signed == ()
    target = next(
        each for each in book.entries if each.kind == "suction" and each.at.instant > at("24 00:00")
    )
    before = next(
        each for each in book.entries if each.kind == "suction" and each.at.instant < at("21 00:00")
    )
    book.amend(target, "28 15:00", consistency="sticky")
    book.amend(before, "28 15:00", consistency="sticky")
    late = book.write("26 03:00", "suction", known="28 16:00")
    book.write("28 17:00", "suction")
    struck = book.write("27 03:00", "suction")
    book.withdraw(struck, "28 18:00")
    found = shown(book)
    assert set(found.since_signed) == {target.id, late.id, struck.id}
    assert found.signature is not None
    marks = {each.first.id: each.marks for each in review(book, DAYS.here, "28 21:00").rows if each.marks}
    assert "changed after these days were signed, Sat\xa028 15:00" in marks[target.id]
    assert "written after these days were signed, Sat\xa028 16:00" in marks[late.id]
    assert "changed after these days were signed, Sat\xa028 18:00" in marks[struck.id]
    book.write("28 19:00", "visit", by="NB", nurse="Nell", until=LAST.isoformat(), signed=True)
    assert shown(book).since_signed == ()


def test_only_seven_days_of_a_calendar_are_signed() -> None:
    book = Notebook()
    book.write("23 09:00", "visit", nurse="Nell", week="2026-W47", signed=True)
    book.write("23 09:00", "visit", nurse="Nell", week="2026-W47")
    book.write("23 09:00", "visit", nurse="Nell", until="0001-01-03", signed=True)
    (only,) = signed(book.read()).all
    assert only.days[0] == date(2026, 11, 16)
    assert signed(book.read()).of(only.days) == only


@pytest.mark.parametrize("typed", ["", "abcd", "0123 4567 89ab cdeg", "0123 4567 89ab cdef 0"])
def test_what_isnt_a_check_code_is_none(typed: str) -> None:
    assert read_code(typed) is None
    assert read_code("0123-4567 89AB CDEF") == "0123 4567 89ab cdef"


def test_a_code_nobody_printed_is_of_no_sheet() -> None:
    book = two_weeks()
    assert CodeBook(book.entries, HOME).find("0123 4567 89ab cdef", DAYS.here) is None


def unwritten(book: Notebook, now: str) -> tuple[str, list[str]]:
    """What is told at the door of the hours without an entry, and the lines behind it; spaces plain."""
    (line,) = [each for each in shown(book, now).door if each.name == "unwritten"]
    (figure,) = line.figures
    return figure.words.replace("\xa0", " "), [each.replace("\xa0", " ") for each in figure.lines]


def test_a_night_without_an_entry_is_told_whole_and_neither_the_quiet_hours_nor_midnight_cut_it() -> None:
    book = Notebook()
    book.plan("23 08:50", quiet=["23:00", "06:00"])
    for when in ("23 09:00", "23 22:58", "24 06:04", "24 09:14", "24 22:00", "25 06:00", "25 09:00"):
        book.write(when, "suction")
    words, lines = unwritten(book, "25 12:28")
    assert "longest by night 8 h 00, Tue 24 22:00 to Wed 25 06:00" in words
    assert "longest by day 13 h 58, 09:00 to 22:58" in words
    (monday,) = [each for each in lines if each.startswith("Mon 23")]
    assert "by night 7 h 06, Mon 23 22:58 to Tue 24 06:04" in monday
    assert not any("/" in each for each in lines)


def test_the_hours_without_an_entry_that_go_on_now_are_told_too() -> None:
    book = Notebook()
    for when in ("27 09:00", "27 15:00", "28 06:00", "28 09:12"):
        book.write(when, "suction")
    words, lines = unwritten(book, "28 12:40")
    assert "now 3 h 28 so far, since 09:12" in words
    assert lines[-1] == "Sat 28: by day 3 h 28 so far, since 09:12"


def of_days_that_are_over(book: Notebook, now: str) -> tuple[str, list[str]]:
    """What is told of the week to Thursday, read from the record as the page reads it."""
    days = VisitDays.to(date(2026, 11, 26))
    record = Memory(entries=book.entries)
    (line,) = [
        each
        for each in visit_of(entries_of_visit(record, days), days, at(now), ()).door
        if each.name == "unwritten"
    ]
    (figure,) = line.figures
    return figure.words.replace("\xa0", " "), [each.replace("\xa0", " ") for each in figure.lines]


def test_a_silence_that_began_in_days_that_are_over_is_told_up_to_now_and_never_as_of_those_days() -> None:
    book = Notebook()
    for when in ("26 08:00", "26 14:00", "26 20:00"):
        book.write(when, "suction")
    words, lines = of_days_that_are_over(book, "28 21:00")
    assert "49 h 00 or more, since Thu 26 20:00" in words
    assert "49 h 00 or more, since Thu 26 20:00" in lines[-1]
    assert not [each for each in (words, *lines) if "so far" in each or "now" in each]


def test_a_night_after_the_last_day_ends_with_the_first_entry_in_force_that_follows() -> None:
    book = Notebook()
    for when in ("26 08:00", "26 15:00", "26 22:00", "27 07:00", "27 09:00"):
        book.write(when, "suction")
    struck = book.write("27 02:00", "suction")
    book.withdraw(struck, "27 07:10")
    book.write("28 12:00", "note", note="of a kind that is read whole")
    words, lines = of_days_that_are_over(book, "28 21:00")
    assert "longest by night 9 h 00, Thu 26 22:00 to Fri 27 07:00" in words
    assert "by night 9 h 00, Thu 26 22:00 to Fri 27 07:00" in lines[-1]
    assert not [each for each in (words, *lines) if "so far" in each or "or more" in each]


def test_seven_days_that_are_over_without_any_entry_are_told_as_one_silence() -> None:
    book = Notebook()
    book.write("18 21:00", "suction")
    words, lines = of_days_that_are_over(book, "28 21:00")
    assert "240 h 00 or more, since Wed 18 Nov 21:00" in words
    assert "Sat 21: no entry at all" in lines
    book.write("27 09:00", "suction")
    words, lines = of_days_that_are_over(book, "28 21:00")
    assert "204 h 00, Wed 18 Nov 21:00 to Fri 27 Nov 09:00" in words
    assert "no entry at all" in lines[-1]


def test_of_days_before_the_first_entry_no_silence_is_told() -> None:
    book = Notebook()
    book.write("27 09:00", "suction")
    words, _lines = of_days_that_are_over(book, "28 21:00")
    assert words == "not recorded"


def test_a_stretch_of_days_that_are_over_is_never_one_that_begins_after_them() -> None:
    book = Notebook()
    book.write("26 20:00", "suction")
    book.write("26 22:00", "stay", action="start", where="hospital")
    book.write("27 09:00", "stay", action="end", where="hospital")
    book.write("27 20:00", "suction")
    words, _lines = of_days_that_are_over(book, "28 21:00")
    assert words == "longest by day 2 h 00, 20:00 to 22:00"


def test_days_within_a_longer_stretch_say_that_nothing_was_entered_and_a_stay_takes_no_part() -> None:
    book = Notebook()
    for when in ("23 09:00", "26 10:00"):
        book.write(when, "suction")
    words, lines = unwritten(book, "26 11:00")
    assert "73 h 00, Mon 23 09:00 to Thu 26 10:00" in words
    assert "Tue 24: no entry at all" in lines
    book.write("23 12:00", "stay", action="start", where="hospital")
    book.write("26 09:00", "stay", action="end", where="hospital")
    words, lines = unwritten(book, "26 11:00")
    assert "longest by day 3 h 00, 09:00 to 12:00" in words


def test_what_becomes_known_at_the_very_moment_of_the_signature_counts_as_after_it() -> None:
    book = two_weeks()
    early = book.write("27 03:00", "suction", known="28 13:59")
    same = book.write("27 04:00", "suction", known="28 14:00")
    book.write("28 14:00", "visit", by="NB", nurse="Nell", until=LAST.isoformat(), signed=True)
    assert shown(book).since_signed == (same.id,)
    assert early.id not in shown(book).since_signed


def test_each_change_after_the_signature_is_told_with_its_time_and_reason_before_any_other_mark() -> None:
    book = two_weeks()
    target = book.write("27 03:00", "suction", consistency="thin")
    back = book.write("27 04:00", "suction", consistency="thin")
    book.write("28 14:00", "visit", by="NB", nurse="Nell", until=LAST.isoformat(), signed=True)
    first = book.amend(target, "28 15:00", consistency="thick")
    book.amend(first, "28 16:00", consistency="sticky")
    book.withdraw(book.amend(back, "28 15:00", consistency="thick"), "28 16:00")
    marks = {
        each.first.id: [words.replace("\xa0", " ") for words in each.marks]
        for each in review(book, DAYS.here, "28 21:00").rows
    }
    assert marks[target.id] == [
        "changed after these days were signed, Sat 28 15:00, Sat 28 16:00",
        "amended Sat 28 15:00 AB: was thin (a slip)",
        "amended Sat 28 16:00 AB: was thick (a slip)",
    ]
    assert marks[back.id] == ["changed after these days were signed, Sat 28 15:00, Sat 28 16:00"]


def test_the_number_of_flags_is_the_number_of_those_that_are_listed() -> None:
    def flag(rule: str, raised: str, cleared: str | None) -> Flag:
        ended = None if cleared is None else at(cleared)
        return Flag(rule, None, Level.NOTE, at(raised), ended, None, f"{rule}.", "", ())

    flags = [
        flag("plug", "10 08:00", None),
        flag("blood", "20 08:00", "23 08:00"),
        flag("overdue", "24 08:00", "24 09:00"),
        flag("expiry", "10 08:00", "12 08:00"),
    ]
    book = two_weeks()
    found = visit(book.read(), book.entries, DAYS, at("28 21:00"), flags)
    assert found.flags is not None
    (figure,) = row(found, "flagged").here
    assert figure.words == f"{Level.NOTE.asks} {len(found.flags)}"
    assert len(figure.lines) == len(found.flags) == 3


def test_where_the_plan_changed_the_label_says_each_limit_with_its_span() -> None:
    book = two_weeks()
    tight = {"cuff_pressure": {"low": 26, "high": 28, "unit": "cmH2O"}}
    book.plan("28 13:05", limits=tight)
    cuff = row(shown(book), "cuff")
    assert cuff.here[0].words == "6 of 7 inside"
    label = cuff.beside.replace("\xa0", " ")
    assert label == "plan: 20 to 30 cmH2O until Sat 28 Nov, 13:05, then 26 to 28 cmH2O"
    book.plan("28 14:00", limits=LIMITS)
    book.plan("28 15:00", limits=tight)
    label = row(shown(book), "cuff").beside.replace("\xa0", " ")
    assert label == "by the plan of each time; since Sat 28 Nov, 15:00: 26 to 28 cmH2O"


def test_a_plan_that_leaves_the_limits_as_they_were_is_no_change_of_them() -> None:
    book = two_weeks()
    book.plan("28 13:05", {"kind": "ties", "every_h": 24}, limits=LIMITS)
    assert row(shown(book), "cuff").beside.replace("\xa0", " ") == "plan: 20 to 30 cmH2O"


def test_the_hours_after_a_change_of_the_plan_are_held_against_the_new_one() -> None:
    book = two_weeks()
    before = cuff_time(review(book, DAYS.here, "28 21:00"))
    book.plan("28 15:00", limits={"cuff_pressure": {"low": 26, "high": 28, "unit": "cmH2O"}})
    after = cuff_time(review(book, DAYS.here, "28 21:00"))
    assert before is not None
    assert after is not None
    assert (before.inside - after.inside) // HOUR == 6
    assert (after.outside - before.outside) // HOUR == 6


def test_the_cuff_by_time_opens_what_says_up_and_down_and_the_reading_that_still_counts() -> None:
    book = two_weeks()
    down = book.write("23 08:00", "cuff_state", state="down")
    up = book.write("23 08:30", "cuff_state", state="up")
    valve = book.write("24 11:00", "valve", action="on", cuff_down=True)
    opened = row(shown(book), "cuff_time").here[0].entries
    assert {down.id, up.id, valve.id} <= set(opened)
    (carried,) = [
        each.id for each in book.entries if each.kind == "cuff_pressure" and each.at.instant == at("21 09:00")
    ]
    assert carried in opened


def test_a_visits_days_are_written_as_elsewhere_and_not_in_the_files_form() -> None:
    days = VISIT.line(with_days("visit", {"nurse": "Nell", "until": "2026-11-25"}))
    assert "seven days to Wed 25 November 2026" in days.replace("\xa0", " ")
    week = VISIT.line(with_days("visit", {"nurse": "Nell", "week": "2026-W46"}))
    assert "week 46 (9 to 15 Nov)" in week.replace("\xa0", " ")
    over = with_days("visit", {"week": "2026-W49"})["week"]
    assert over.replace("\xa0", " ") == "49 (30 Nov to 6 Dec)"
