"""What happened since somebody wrote last, in a dozen lines."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from carelog.analysis.in_force import Reading
from carelog.analysis.since import MOST_LINES, Since, Stands, since
from carelog.domain.due import Due, DueState
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import DAY_24_H
from tests.analysis.notebook import TUBE, Notebook, at
from tests.strategies import FIRST, LAST, entries

NOW = "28 20:40"


def told(book: Notebook, start: str = "26 07:10", **more: Any) -> Since:
    stands = Stands(more.get("flags", ()), more.get("dues", ()), more.get("latest", {}))
    return since(book.read(), "PA", at(start), at(start), at(NOW), stands, None)


def lines(found: Since, name: str) -> list[str]:
    part = next((each for each in found.parts if each.name == name), None)
    return [line.replace("\xa0", " ") for line in part.lines] if part else []


def flag(level: Level, headline: str, cleared: str | None = None, seen: tuple[str, ...] = ()) -> Flag:
    ended = None if cleared is None else at(cleared)
    return Flag("plug", None, level, at("27 10:00"), ended, None, headline, "", (), seen)


def test_only_what_others_wrote_since_then_counts_and_they_are_named_the_newest_first() -> None:
    book = Notebook()
    book.write("26 07:00", "suction", by="HQ")
    book.write("26 08:00", "suction", by="HQ")
    book.write("27 08:00", "suction", by="MQ")
    book.write("27 09:00", "suction", by="PA")
    found = told(book)
    assert (found.count, found.writers) == (2, ("MQ", "HQ"))


def test_what_was_written_late_about_before_is_told_too() -> None:
    book = Notebook()
    book.write("25 08:00", "incident", known="27 08:00", by="HQ", what="power_cut")
    (line,) = lines(told(book), "happened")
    assert line.startswith("Wed 25 08:00 HQ, Incident: ")
    assert "power cut" in line


def test_a_plan_tells_what_it_changed_and_a_check_only_what_it_found() -> None:
    book = Notebook()
    book.plan("1 00:00", {"kind": "inner_tube", "every_h": 8})
    book.plan("27 09:00", {"kind": "inner_tube", "every_h": 6}, by="NT")
    book.write("27 10:00", "tube_change", by="NT", **TUBE)
    book.write("27 11:00", "box_check", by="HQ", present=["gel"])
    book.write("27 12:00", "box_check", by="HQ", missing=["gel"])
    found = lines(told(book), "changed")
    assert [line.split(",")[0] for line in found] == ["Fri 27 12:00 HQ", "Fri 27 10:00 NT", "Fri 27 09:00 NT"]
    assert "inner tube 8 → 6 h" in found[2]


def test_flags_stand_the_worst_first_those_in_force_before_those_that_ended_since() -> None:
    book = Notebook()
    seen = book.write("27 12:00", "seen", rule="plug", told="Nell Tarrowby")
    found = lines(
        told(
            book,
            flags=[
                flag(Level.NOTE, "A note."),
                flag(Level.URGENT, "Over.", cleared="27 20:00"),
                flag(Level.CALL, "A call.", seen=(seen.id,)),
                flag(Level.CALL, "Long over.", cleared="25 20:00"),
            ],
        ),
        "different",
    )
    assert found == [
        "Speak to the team today: A call. Told: Nell Tarrowby, Fri 27 12:00.",
        "Look at this: A note.",
        "Emergency plan now: Over. Ended Fri 27 20:00.",
    ]


def test_what_is_overdue_stands_before_what_is_due_and_what_comes_later_is_left_out() -> None:
    def due(kind: str, state: DueState, when: str) -> Due:
        return Due(kind, {}, at(when), state, None, "", "", at(when))

    book = Notebook()
    book.write("27 12:00", "question", by="HQ")
    dues = [
        due("ties", DueState.LATER, "29 08:00"),
        due("inner_tube", DueState.DUE, "28 20:30"),
        due("cuff_pressure", DueState.LATE, "28 20:02"),
    ]
    assert lines(told(book, dues=dues), "open")[:2] == [
        "Cuff pressure: overdue since 20:02",
        "Inner tube: due 20:30",
    ]


def test_a_note_for_the_next_is_told_and_another_note_is_not() -> None:
    book = Notebook()
    left = book.write("28 16:05", "note", by="MQ", for_next=True)
    book.entries[-1] = Entry(**{**_fields(left), "note": "Leave the window shut."})
    other = book.write("28 17:00", "note", by="MQ")
    book.entries[-1] = Entry(**{**_fields(other), "note": "Slept well."})
    assert lines(told(book), "notes") == ["“Leave the window shut.” MQ, 16:05"]


def _fields(entry: Entry) -> dict[str, Any]:
    return {name: getattr(entry, name) for name in entry.__slots__}


def test_a_stay_that_touches_the_time_is_told() -> None:
    book = Notebook()
    book.write("25 08:00", "stay", by="HQ", action="start", where="hospital")
    book.write("26 18:00", "stay", by="HQ", action="end")
    assert any("hospital" in line for line in lines(told(book), "happened"))


def test_the_last_of_each_is_told_with_its_time_and_by_whom() -> None:
    book = Notebook()
    book.write("28 17:41", "suction", by="MQ", colour="yellow")
    latest = {"suction": book.read().held[0]}
    assert lines(told(book, latest=latest), "last") == ["Suction 17:41 MQ: yellow"]


def test_a_heading_with_many_lines_says_how_many_more_there_are() -> None:
    book = Notebook()
    for hour in range(5):
        book.write(f"27 {hour + 10}:00", "incident", by="HQ", what="other")
    part = next(each for each in told(book).parts if each.name == "happened")
    assert (len(part.lines), part.more_words) == (MOST_LINES, "and 2 more")


def test_of_nothing_nothing_is_told() -> None:
    found = told(Notebook())
    assert (found.parts, found.count) == ((), 0)


@settings(max_examples=40)
@given(
    found=st.lists(entries, max_size=30, unique_by=lambda each: each.id),
    start=st.integers(FIRST, LAST),
)
def test_whatever_is_recorded_it_is_told_in_few_lines_that_never_say_that_all_is_well(
    found: list[Entry], start: int
) -> None:
    reading = Reading(found)
    latest = {held.entry.kind: held for held in reading.held}
    shown = since(reading, "AB", None, start, start + 9 * DAY_24_H, Stands((), (), latest), None)
    assert sum(len(part.lines) for part in shown.parts) <= 6 * MOST_LINES + 1
    for part in shown.parts:
        assert part.lines
        assert not part.lines[0].lower().startswith("all is well")


@pytest.mark.parametrize("text", ["x" * 1000, "word " * 300])
def test_a_long_line_is_cut(text: str) -> None:
    book = Notebook()
    left = book.write("28 16:05", "note", by="MQ", for_next=True)
    book.entries[-1] = Entry(**{**_fields(left), "note": text})
    (line,) = lines(told(book), "notes")
    assert len(line) <= 161
    assert line.endswith("…")


def test_what_was_written_for_the_next_comes_first_and_of_a_level_what_is_new() -> None:
    book = Notebook()
    left = book.write("27 08:00", "note", by="HQ", for_next=True)
    book.entries[-1] = Entry(**{**_fields(left), "note": "Please ring Nell."})
    old = Flag("plug", None, Level.CALL, at("20 10:00"), None, None, "Old.", "", ())
    found = told(book, flags=[old, flag(Level.NOTE, "Note."), flag(Level.CALL, "New.")])
    assert [part.name for part in found.parts][:2] == ["notes", "different"]
    assert [line.split(": ")[-1] for line in lines(found, "different")] == ["New.", "Old.", "Note."]
