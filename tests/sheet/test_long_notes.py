"""A note that would fill pages is cut in the week, with where to read it, and whole on the day's sheet."""

from dataclasses import replace
from datetime import date

from carelog.domain.entry import Entry
from carelog.domain.moment import HOUR
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


def rivals() -> list[Entry]:
    """A suction that two computers changed at once, each with a long note."""
    first = entry(1, "2026-10-21T10:00:00+00:00")
    return [
        first,
        *(
            replace(
                entry(2 + number, "2026-10-21T10:00:00+00:00", note=f"{who} {LONG} of {who}"),
                amends=first.id,
                reason="x",
                recorded_at=first.recorded_at + HOUR + number,
            )
            for number, who in enumerate(("losing", "winning"))
        ),
    ]


def test_a_week_cuts_the_other_version_of_two_computers_as_well_and_a_day_has_it_whole() -> None:
    text = running(sheet(rivals()))
    assert "two versions" in text
    assert "the very end" not in text
    assert "end of losing" in running(day_sheet(rivals(), date(2026, 10, 21)))


def test_a_week_cuts_a_long_answer_wherever_it_stands() -> None:
    question = entry(1, "2026-10-21T10:00:00+00:00", "question", note="Why?")
    answer = entry(2, "2026-10-21T11:00:00+00:00", "answer", note=LONG, details={"question": question.id})
    text = running(sheet([question, answer]))
    assert text.count("word word") > 0
    assert "the very end" not in text
    assert "the very end" in running(day_sheet([question, answer], date(2026, 10, 21)))


def test_the_first_page_has_every_note_that_hangs_on_an_entry_and_the_list_says_so() -> None:
    notes = ("from the paper sheet", "left side sore")
    found = [
        entry(1, "2026-10-20T22:40:00+01:00", "mouth_care", note=notes[0]),
        entry(2, "2026-10-21T03:40:00+01:00", note=notes[1]),
        entry(3, "2026-10-21T04:40:00+01:00", note="w " * 150 + "end"),
    ]
    first, listed = running(sheet(found)).split("Every entry")
    assert (
        "Notes, incidents and changes Tue 20 Oct 21:40 Mouth care, AB: from the paper sheet; "
        "Wed 21 Oct 02:40 Suction, AB: left side sore; Wed 21 Oct 03:40 Suction, AB: w w" in first
    )
    assert not any(note in listed for note in notes)
    assert "21:40 Mouth care (note above)" in listed
    assert "w w end" in listed
    assert "(whole in the list, Wed 21 Oct 03:40)" in first
