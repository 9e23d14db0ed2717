"""A note that would fill pages is cut in the week, with where to read it, and whole on the day's sheet."""

from datetime import date

from tests.sheet.pages import day_sheet, entry, running, sheet

LONG = "word " * 4000 + "the very end"
NOTE = entry(1, "2026-10-21T10:00:00+00:00", "note", note=LONG)


def test_a_week_cuts_a_note_that_would_fill_pages_and_says_where_the_whole_stands() -> None:
    text = running(sheet([NOTE]))
    assert "word word" in text
    assert "the very end" not in text
    assert "(whole on the day's sheet)" in text


def test_a_day_prints_it_whole() -> None:
    assert "the very end" in running(day_sheet([NOTE], date(2026, 10, 21)))
