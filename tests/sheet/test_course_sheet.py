"""The sheet of the course: the drawing of the window, and each day of it in words, on paper and as a page."""

import re
from datetime import date
from typing import Any

import pytest

from carelog.analysis.course.axis import days_to
from carelog.domain.entry import Entry
from carelog.domain.paper import SheetRequest
from carelog.sheet import make
from tests.analysis.notebook import TUBE, Notebook
from tests.sheet.pages import no_flags, plain, running, texts
from tests.sheet.weeks import UNTIL, WEEKS


def course_sheet(entries: list[Entry], **more: Any) -> bytes:
    """The course to Sunday 22 November 2026."""
    request = SheetRequest(name="course", until=date(2026, 11, 22), **more)
    return make(request, entries, "Odette Farrow", find_flags=no_flags)


def household() -> list[Entry]:
    book = Notebook()
    book.plan("1 00:00", {"kind": "mouth_care", "times": ["08:00"]})
    book.write("2 08:00", "tube_change", **TUBE)
    for day in range(2, 20):
        book.write(f"{day} 08:00", "mouth_care")
        book.write(f"{day} 09:00", "suction", colour="white", consistency="thin")
    book.write("20 09:00", "cuff_pressure", value=34, unit="cmH2O")
    return book.entries


def test_each_day_of_four_weeks_is_told_and_a_day_without_entries_says_so() -> None:
    text = running(course_sheet(household()))
    assert "Course of 4 weeks · Odette Farrow" in text
    for day in days_to(date(2026, 11, 22), 28):
        assert f"{day.day} {day:%B} 2026: " in text
    assert "Mon 26 October 2026: nothing is recorded" in text
    assert (
        "Mon 2 November 2026: 1 suction; Thickness: thin 1; Colour: white 1; all 1 asked for recorded" in text
    )
    assert "Not recorded in all these days: Amount" in text


def test_what_nobody_recorded_stands_nowhere_as_0() -> None:
    text = running(course_sheet(household()))
    assert "21 November 2026: nothing is recorded; 0 of 1 asked for recorded" in text
    assert not re.search(r"\b0 suctions", text.split("20 November 2026")[0])


def test_so_many_weeks_are_told_as_were_asked_for_and_a_long_course_is_told_by_weeks() -> None:
    assert "Course of one week" in running(course_sheet(household(), weeks=1))
    text = running(course_sheet(household(), weeks=20))
    assert "Mon 2 Nov to Sun 8 November 2026: Suctions a day: 1;" in text


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_four_weeks_of_a_household_take_two_pages_and_the_pictures_are_on_the_first(paper: str) -> None:
    pages = texts(course_sheet(household(), paper=paper))
    assert len(pages) <= 3
    assert "Suctions a day" in pages[0]
    assert "Cuff pressure" in pages[0]
    assert "34" in pages[0]


def test_the_same_entries_give_the_same_bytes_in_any_order() -> None:
    found = household()
    assert course_sheet(found) == course_sheet(found[::-1])


def test_on_later_pages_the_name_stands_last() -> None:
    pdf = make(SheetRequest(name="course", until=UNTIL), WEEKS["usual"]().entries(), find_flags=no_flags)
    assert texts(pdf)[1].startswith("Course of 4 weeks · 29 November 2026 · Harriet Quillon")


def test_large_print_has_every_row_on_some_page() -> None:
    text = running(course_sheet(household(), large=True))
    for title in ("Suctions a day", "Thickness", "Colour", "Cuff pressure", "Asked for, recorded"):
        assert title in text


def test_the_page_for_a_browser_has_the_picture_with_a_name_and_a_table_of_its_words() -> None:
    page = plain(course_sheet(household(), html=True).decode())
    assert page.count('<svg role="img"') == 1
    assert 'aria-label="The course: The course from Mon 26 October 2026 to Sun 22 November 2026: ' in page
    table = page.split("<caption>The course in words</caption>")[1].split("</table>")[0]
    assert table.count('<th scope="row">') == 28
    row = re.sub(r"<[^>]+>", "|", table.split("Mon 2 November 2026")[1].split("</tr>")[0])
    assert [cell for cell in row.split("|") if cell][:3] == ["1", "thin 1", "white 1"]


def test_a_record_without_entries_makes_a_sheet_that_says_so() -> None:
    text = running(course_sheet([]))
    assert "Holds no entries yet." in text
    assert text.count("nothing is recorded") == 28
