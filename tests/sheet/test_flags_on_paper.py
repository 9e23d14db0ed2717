"""Flags on a sheet: by level, since when, what was done; those raised later stand apart."""

import re
from dataclasses import replace
from datetime import date
from typing import Any

from carelog.domain.entry import Entry
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import HOUR, MINUTE, Home, Week
from carelog.domain.paper import SheetRequest
from carelog.sheet import make
from carelog.sheet.blocks import Content, Feet
from carelog.sheet.columns import Chunk, fill
from carelog.sheet.letters import Letters
from carelog.sheet.page import Book, style
from tests.sheet.pages import entry, running, texts

W47 = Week(2026, 47)
START = Home("UTC").week(W47)[0]
CLOSING = "A comparison with your own record, not a diagnosis."


def flag(rule: str, level: Level, since: int, until: int | None = None, **more: Any) -> Flag:
    """A flag since so many hours after the week's start, until so many."""
    cleared = None if until is None else START + until * HOUR
    return Flag(
        rule,
        more.pop("subject", None),
        level,
        START + since * HOUR,
        cleared,
        None if until is None else "entry",
        more.pop("headline", f"Headline of {rule}"),
        more.pop("why", f"Why {rule} is there."),
        more.pop("entries", ()),
        by_statistics="closing" in more,
        **more,
    )


def printed(*flags: Flag, entries: tuple[Entry, ...] = ()) -> str:
    found = [entry(1, "2026-11-16T08:00:00Z"), *entries]
    return running(make(SheetRequest(week=W47), found, find_flags=lambda *_: flags))


def test_a_heading_never_stands_at_a_foot_without_the_bar_and_the_first_point_that_it_leads_to() -> None:
    book = Book(style("a4", large=False), Content("", "", "", Feet(), ()), Letters())
    put: dict[str, float] = {}

    def chunk(name: str, height: float, leads: bool = False) -> Chunk:
        return Chunk(height, lambda _book, x: put.update({name: x}), leads)

    fill(
        book,
        [chunk("text", 60), chunk("heading", 12, True), chunk("bar", 12, True), chunk("point", 70)],
        2,
        0,
    )
    assert put["text"] < put["heading"] == put["bar"] == put["point"]
    put.clear()
    fill(book, [chunk("heading", 12, True), chunk("bar", 12, True), chunk("point", 70)], 2, 0)
    assert put["heading"] == put["bar"] == put["point"]
    pages = len(book.leaves)
    book.y = book.bottom - 60
    fill(book, [chunk("heading", 12, True), chunk("point", 70)], 2, 0)
    assert len(book.leaves) == pages + 1


def test_levels_stand_in_their_order_with_those_still_there_first() -> None:
    text = printed(
        flag("over", Level.CALL, 3, 4),
        flag("still", Level.CALL, 9),
        flag("small", Level.NOTE, 1),
        flag("grave", Level.URGENT, 50),
    )
    places = [
        text.index(part) for part in ("Emergency plan now", "Headline of grave", "Speak to the team today")
    ]
    places += [text.index(f"Headline of {name}") for name in ("still", "over")]
    places += [text.index("Look at this, for the next visit"), text.index("Headline of small")]
    assert places == sorted(places)
    assert "Headline of still. Still there, since Mon 16 09:00. Why still is there." in text
    assert "Headline of over. Mon 16 03:00 to 04:00. Headline" not in text
    assert "Headline of over. Mon 16 03:00 to 04:00." in text
    assert "Why over is there." not in text


def test_what_was_done_about_a_flag_is_told_and_where_nobody_did_anything_that_is_said() -> None:
    seen = entry(
        2, "2026-11-16T10:30:00Z", "seen", details={"rule": "a", "told": "the ward"}, note="they ring back"
    )
    text = printed(flag("a", Level.CALL, 9, seen=(seen.id,)), flag("b", Level.CALL, 11), entries=(seen,))
    assert "Seen Mon 16 Nov 10:30 by AB, told the ward “they ring back”" in text
    assert "Why b is there. Nobody wrote down that they looked or told anyone." in text
    many = printed(
        flag("a", Level.CALL, 9, seen=(seen.id,)),
        *(flag(name, Level.CALL, 11) for name in "bcd"),
        entries=(seen,),
    )
    assert "Speak to the team today – no one wrote down who was told, but where it says so" in many
    assert "told the ward" in many
    assert "Nobody wrote down" not in many
    alone = printed(flag("b", Level.CALL, 11))
    assert "Speak to the team today – nobody recorded telling anyone" in alone


def test_a_flag_that_came_again_and_again_is_one_point_with_all_its_times() -> None:
    text = printed(*(flag("overdue", Level.NOTE, 5 * n, 5 * n + 1, subject="ties") for n in range(5)))
    assert "5 times, the last: Headline of overdue. Mon 16 00:00 to 01:00" in text
    assert text.count("Headline of overdue") == 1
    named = [
        flag("cuff_low", Level.NOTE, 24 * n, 24 * n + 2, headline="Cuff 17 cmH2O at Mon 16 00:00.")
        for n in range(4)
    ]
    assert "Mon 16 00:00 to 02:00; Tue 17 00:00 to 02:00; Wed 18 00:00 to 02:00;" in printed(*named).replace(
        " (an entry)", ""
    )
    many = printed(*(flag("overdue", Level.NOTE, n, n + 1, subject="ties") for n in range(40)))
    assert (
        "40 times, the last: Headline of overdue. Mon 16 Nov 24, Tue 17 Nov 16; Tue 17 15:00 to 16:00" in many
    )


def test_long_sentences_that_flags_share_are_printed_once_but_never_the_emergency_one() -> None:
    shared = CLOSING
    emergency = "If breathing is hard: emergency plan."
    flags = [flag(name, Level.CALL, 3, why=f"First {name}. {shared} {emergency}") for name in "abc"]
    text = printed(*flags)
    assert text.count(shared) == 1
    assert text.count(emergency) == 3
    assert f"First b. {emergency} *" in text
    assert f"* {shared}" in text


def test_what_is_unlike_the_usual_in_several_ways_is_one_point_with_the_time_of_each() -> None:
    why = "Since 06:00: 2 of {}, usually none."
    text = printed(
        flag("thick", Level.CALL, 9, headline="Thicker.", why=why.format(3), closing=CLOSING),
        flag("more", Level.CALL, 30, headline="More.", why=why.format(4), closing=CLOSING),
        flag("over", Level.CALL, 3, 4, headline="Larger.", why=why.format(5), closing=CLOSING),
    )
    assert "Unlike the usual since Mon 16 09:00, still there: Thicker. Mon 16 09:00. Since 06:00:" in text
    assert "More. Tue 17 06:00. Since 06:00: 2 of 4, usually none." in text
    assert "Larger. Mon 16 03:00 to 04:00." in text
    alone = printed(flag("thick", Level.CALL, 9, headline="Thicker.", why=why.format(3), closing=CLOSING))
    assert "Unlike the usual" not in alone
    assert "Thicker. Still there, since Mon 16 09:00." in alone


def test_without_flags_the_sheet_reassures_nobody() -> None:
    text = printed()
    assert "Nothing is flagged in what was recorded; last entry Mon 16 Nov 08:00." in text
    nothing = running(make(SheetRequest(week=W47), [], find_flags=lambda *_: ()))
    assert "Nothing was recorded, so nothing can be flagged." in nothing
    for words in (text.lower(), nothing.lower()):
        assert "all is well" not in words
        assert "normal" not in words


def test_a_flag_raised_later_by_an_entry_about_the_week_stands_apart() -> None:
    late = entry(
        2,
        "2026-11-20T10:00:00Z",
        details={"blood": "fresh"},
        recorded="2026-11-25T08:00:00Z",
    )
    first = [entry(1, "2026-11-16T08:00:00Z"), late]
    text = running(make(SheetRequest(week=W47), first))
    apart = text.split("Written later about this week")[1]
    assert "Emergency plan now" in apart.split("Questions")[0]
    assert "Emergency plan now" not in text.split("Written later about this week")[0]
    before = [first[0]]
    assert "Written later" not in running(make(SheetRequest(week=W47), before))


def test_what_is_urgent_and_still_there_stands_across_the_top_of_every_page() -> None:
    many = tuple(entry(n, f"2026-11-{16 + n // 200}T08:00:00Z", "ties") for n in range(2, 1000))
    found = [entry(1, "2026-11-16T08:00:00Z"), *many]
    still, over = flag("a", Level.URGENT, 3), flag("a", Level.URGENT, 3, 4)
    pages = texts(make(SheetRequest(week=W47), found, find_flags=lambda *_: (still,)))
    assert len(pages) > 2
    assert all("Emergency plan now: Headline of a." in page for page in pages)
    for other in (over, flag("a", Level.CALL, 3)):
        assert "Emergency plan now:" not in printed(other)


def test_an_urgent_flag_is_read_in_black_and_white() -> None:
    page = texts(
        make(SheetRequest(week=W47), [entry(1, "2026-11-16T08:00:00Z", details={"blood": "fresh"})])
    )[0]
    assert "Emergency plan now" in page


def corrected(after: int, by: str = "AB") -> list[Entry]:
    """A cuff read as 52 by AB on Monday at 20:03, and put right to 25 so many minutes later."""
    plan = {"set_by": "a nurse", "limits": {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}}}
    read = entry(2, "2026-11-16T20:03:00Z", "cuff_pressure", details={"value": 52, "unit": "cmH2O"})
    right = replace(
        entry(3, "2026-11-16T20:03:00Z", "cuff_pressure", details={"value": 25, "unit": "cmH2O"}),
        amends=read.id,
        recorded_at=read.recorded_at + after * MINUTE,
        reason="mistyped",
        by=by,
    )
    return [entry(1, "2026-11-16T06:00:00Z", "plan", details=plan), read, right]


def test_what_a_typing_error_raised_is_no_flag_of_the_week_and_stays_one_of_the_day() -> None:
    week, day = SheetRequest(week=W47), SheetRequest(day=date(2026, 11, 16), name="day")
    assert "Cuff 52 cmH2O" not in running(make(week, corrected(9)))
    assert "found at 52 cmH2O" in running(make(week, corrected(9)))
    assert "Cuff 52 cmH2O" in running(make(day, corrected(9)))
    assert "Cuff 52 cmH2O" in running(make(week, corrected(11)))
    assert "Cuff 52 cmH2O" in running(make(week, corrected(9, by="CD")))
    looked = entry(4, "2026-11-16T20:05:00Z", "seen", details={"rule": "cuff_high", "told": "the ward"})
    assert "Cuff 52 cmH2O" in running(make(week, [*corrected(9), looked]))


def test_the_day_of_a_flag_that_ended_is_said_once() -> None:
    text = running(make(SheetRequest(week=W47), corrected(11)))
    assert re.search(r"Cuff 52 cmH2O at Mon 16 20:03\. 20:03 to 20:14", text)


def silent(*flags: Flag) -> str:
    """The sheet of a household whose last entry is of Monday 08:00, with the flag that says so."""
    said = flag("nothing_recorded", Level.NOTE, 20, headline="Nothing recorded for 6 days.", subject=None)
    return printed(*flags, said)


def test_a_household_that_stopped_writing_has_its_silence_first_and_what_got_overdue_in_short_below() -> None:
    text = silent(
        flag("overdue", Level.CALL, 23, subject="cuff_pressure", headline="Cuff pressure: overdue."),
        flag("overdue", Level.NOTE, 25, subject="ties", headline="Ties: overdue."),
        flag("spo2", Level.CALL, 7),
    )
    assert (
        "Look at this first Nothing recorded for 6 days. Overdue since then, or done and not written down: "
        "Speak to the team today: Cuff pressure: overdue. Look at this: Ties: overdue. "
        "Speak to the team today – nobody recorded telling anyone Headline of spo2." in text
    )
    assert "Why overdue is there" not in text
    assert text.count("Nothing recorded for 6 days.") == 1


def test_what_is_urgent_stands_above_a_silence() -> None:
    text = silent(flag("blood", Level.URGENT, 7, headline="Fresh or red blood."))
    assert text.index("Fresh or red blood.") < text.index("Look at this first")


def test_a_silence_folds_nothing_that_was_overdue_before_it_or_that_somebody_looked_at() -> None:
    seen = entry(2, "2026-11-16T07:30:00Z", "seen", details={"rule": "overdue", "subject": "stoma"})
    before = flag("overdue", Level.NOTE, 5, subject="ties", headline="Ties: overdue.")
    looked = flag("overdue", Level.NOTE, 30, subject="stoma", headline="Stoma: overdue.", seen=(seen.id,))
    said = flag("nothing_recorded", Level.NOTE, 20, headline="Nothing recorded for 6 days.")
    text = printed(before, looked, said, entries=(seen,))
    assert "Overdue since then" not in text
    assert "Ties: overdue. Still there" in text
    assert "Stoma: overdue. Still there" in text
    over = printed(before, replace(said, cleared_at=START + 30 * HOUR, cleared_by="entry"))
    assert "Look at this first" not in over
