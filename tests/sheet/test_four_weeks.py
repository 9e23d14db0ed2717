"""The example's fourth week on paper: what must be found, and how it is marked."""

import re
from datetime import date

import pytest

from carelog.analysis.flags.once import said_once
from carelog.analysis.flags.period import flags
from carelog.analysis.flags.slip import without_slips
from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry
from carelog.domain.moment import Home
from carelog.domain.paper import SheetRequest
from carelog.kinds import named_or_unknown
from carelog.sheet import make
from tests.loading import expected, load
from tests.sheet.pages import W43, day_sheet, fonts, listed, running, sheet, sizes, texts

HOME = Home("Europe/London")
FOUR_WEEKS = expected("four-weeks.expected.json")
FACTS = FOUR_WEEKS["facts"]


@pytest.fixture(scope="module")
def entries() -> list[Entry]:
    return load("four-weeks.jsonl")


@pytest.fixture(scope="module")
def with_flags(entries: list[Entry]) -> bytes:
    return make(SheetRequest(week=W43), entries)


@pytest.fixture(scope="module")
def week(entries: list[Entry]) -> bytes:
    return sheet(entries)


def changed(entries: list[Entry]) -> set[str]:
    return {e.amends for e in entries if e.amends} | {e.id for e in entries if e.withdrawn}


@pytest.fixture(scope="module")
def rows(entries: list[Entry]) -> str:
    """The rows of the same week as a page."""
    return listed(sheet(entries, html=True))


def test_the_week_fits_two_pages_of_eight_points_or_more(with_flags: bytes) -> None:
    assert len(texts(with_flags)) == 2
    assert min(sizes(with_flags)) >= 8
    assert len(with_flags) <= 60 * 1024


def test_on_the_shorter_letter_paper_it_fits_two_pages_as_well(entries: list[Entry]) -> None:
    made = make(SheetRequest(week=W43, paper="letter"), entries)
    assert len(texts(made)) == 2
    assert min(sizes(made)) >= 8


def days_of(pdf: bytes) -> dict[str, str]:
    """The text of each day's column, as one line."""
    found: dict[str, str] = {}
    for part in re.split(
        r"\n(?=(?:… )?(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d+ Oct(?:, 25 h)?\n)", "\n".join(texts(pdf))
    ):
        title = re.match(r"(?:… )?(\w+ \d+ Oct)", part)
        if title:
            found[title[1]] = found.get(title[1], "") + " ".join(part.split("\n"))
    return found


def _named(each: Entry) -> str:
    """The first word of what a week's list says of an entry: its kind, or what says that by itself."""
    kind = named_or_unknown(each.kind)
    words = kind.line(each.details) if kind.told_by in each.details else kind.title
    return re.split(r"[ ,]", f"{words[:1].upper()}{words[1:]}")[0]


def test_every_entry_in_force_is_found_by_its_time_and_kind(entries: list[Entry], week: bytes) -> None:
    columns = days_of(week)
    start, end = HOME.week(W43)
    looked_for = [e for e in entries if start <= e.at.instant < end and e.id not in changed(entries)]
    assert len(looked_for) > 180
    for each in looked_for:
        local = HOME.local(each.at.instant)
        column = columns[f"{local:%a} {local.day} Oct"]
        kind = re.escape(_named(each))
        alone = rf"{local:%H:%M}(?: \([+-]\d\d:00\))? {kind}"
        times = r"(?:[\w,]+:?|;|\d\d:\d\d;?|\([+-]\d\d:00\);?)"
        together = rf"{kind} (?:{times} )*?{local:%H:%M}"
        assert re.search(f"{alone}|{together}", column), (local, each.kind)


def test_as_many_rows_stand_under_each_day_as_are_in_force(week: bytes, rows: str) -> None:
    counts = FOUR_WEEKS["counts_in_force"]
    for kind in ("suction", "cuff_pressure", "inner_tube", "ties"):
        title = named_or_unknown(kind).title
        found = len(re.findall(rf"\d\d:\d\d(?: \([+-]\d\d:00\))? {title}", rows))
        struck = 1 if kind == "suction" else 0
        assert found == sum(counts[kind].values()) + struck, kind
    names = ["Mon 19", "Tue 20", "Wed 21", "Thu 22", "Fri 23", "Sat 24", "Sun 25"]
    assert list(days_of(week)) == [f"{name} Oct" for name in names]


def test_the_amended_reading_shows_both_values(rows: str) -> None:
    text = rows
    assert re.search(r"20:03 Cuff pressure 25 cmH2O MO \[amended 20:1\d MO: was found at 52 cmH2O \(", text)


def test_readings_outside_the_limits_are_marked_with_their_own_unit(rows: str) -> None:
    text = rows
    assert re.search(r"Cuff pressure 34 cmH2O \w\w \[above 30 cmH2O\]", text)
    assert re.search(r"Cuff pressure 25 mmHg \w\w \[above 30 cmH2O\]", text)
    assert re.search(r"Cuff pressure 1.8 kPa \w\w \[below 20 cmH2O\]", text)


def test_a_reading_inside_the_limits_is_not_marked(rows: str) -> None:
    assert re.search(r"08:03 Cuff pressure 22 cmH2O MO$", rows, re.MULTILINE)


def test_late_paper_struck_and_rival_entries_say_so(rows: str) -> None:
    text = rows
    assert re.search(r"03:40 Suction .*?\[late entry 09:45\]", text)
    assert re.search(r"22:40 Mouth care .*?from paper, typed in Wed 21 08:20", text)
    assert re.search(r"15:10 Suction MO \[struck out 15:15 MO: ", text)
    assert "two versions, this one was written last; the other MO: pulse 94 /min" in text


def test_a_completion_is_not_marked_as_a_correction(entries: list[Entry], rows: str) -> None:
    first = next(e for e in entries if e.id == FACTS["completion"]["first"])
    clock = f"{HOME.local(first.at.instant):%H:%M}"
    assert re.search(rf"^{clock} Suction [^\[]*\w\w$", rows, re.MULTILINE)


def test_the_doubled_hour_is_told_apart_by_its_offset(rows: str) -> None:
    text = rows
    assert "01:30 (+01:00) Suction" in text
    assert "01:30 (+00:00) Suction" in text


def test_the_hostile_note_stands_as_typed_with_the_emoji_as_its_number(week: bytes) -> None:
    text = running(week)
    for part in (
        'Tape <b>rubs</b> & "pulls" =2+2 ;',
        "Zoë, Łucja, Ελένη, нога,",
        "<img src='/etc/hostname'/>",
    ):
        assert part in text
    assert "[U+1F642]" in text
    assert "Characters not printed: [U+1F642]" in text


def test_arabic_letters_are_read_back_as_letters(week: bytes) -> None:
    found = set(running(week))
    assert set("ضمادة") <= found


def test_what_differs_from_the_weeks_before_stands_in_numbers(week: bytes) -> None:
    text = running(week)
    assert "Suction 9 to 26 a day on 5 days (before 7 to 8)" in text
    for what, count in (("oral", 2), ("yellow", 56), ("sticky", 45), ("amount large", 41)):
        assert re.search(rf"Suction, {what}:? {count} of 109 \(before 0 of 1", text), what
    assert "Cuff pressure outside the limits 3 of 14 (before 0 of 42)" in text
    for what in ("skin broken", "fluid coloured"):
        assert re.search(rf"Stoma, {what}:? 1 of 7 \(before 0 of 21\)", text), what


def test_the_first_page_says_who_when_tube_plan_limits_and_questions(week: bytes) -> None:
    first = texts(week)[0].replace("\n", " ")
    for part in (
        "Week 2026-W43 · Tobias Fennimore",
        "Mon 19 Oct to Sun 25 Oct 2026; Sun 25 Oct has 25 h, the clocks change",
        "ID 8 mm",
        "27 days ago at the end of this sheet; next change due 23 October 2026 (passed)",
        "set by Imke Dorsett, visiting nurse",
        "cuff pressure 20 to 30 cmH2O",
        "Is the cream still right for the red patch?",
        "Not answered yet.",
    ):
        assert part in re.sub(r"\s+", " ", first), part
    assert first.index("Limits: ") < first.index("Flags ") < first.index("Different from")


def test_the_rest_about_the_person_the_plan_and_whom_to_call_stands_at_the_end(week: bytes) -> None:
    rest = running(week).split("Person, plan and contacts")[1]
    for part in (
        "swallowing: soft food",
        "reason for the tracheostomy: long-term weakness",
        "Emergency plan: Plan on the fridge door.",
        "Asks for: Inner tube every 8 h;",
        "Instructions: Clean the inner tube sooner",
        "Ward line 01632 960 114",
    ):
        assert part in rest, part


def test_every_page_says_whose_which_week_how_far_and_what_it_is(week: bytes) -> None:
    for number, text in enumerate(texts(week), 1):
        assert "Tobias Fennimore" in text
        assert "2026-W43" in text
        assert f"page {number} of 2" in text
        assert "Holds what was recorded up to Sun 25 October 2026, 22:41." in text
        assert "Made from the household's own notes; not a monitor." in text
        assert re.search(r"Check code [0-9a-f]{4} [0-9a-f]{4} [0-9a-f]{4} [0-9a-f]{4}\.", text)


def test_every_flag_of_the_week_stands_on_the_first_page(entries: list[Entry], with_flags: bytes) -> None:
    start, end = HOME.week(W43)
    found = flags(entries, start, end)
    assert len(found) >= 12
    text = re.sub(r"\s+", " ", texts(with_flags)[0])
    for flag in without_slips(said_once(found), Reading(entries)):
        assert flag.headline.replace("\N{NO-BREAK SPACE}", " ") in text, flag.headline
    assert "Speak to the team today – nobody recorded telling anyone" in text


def test_the_grid_tells_overdue_from_done(week: bytes) -> None:
    text = running(week)
    assert "overdue, done 22:06" in text
    assert "overdue, done 08:09" in text


def test_all_typefaces_are_embedded_noto_sans(with_flags: bytes) -> None:
    found = list(fonts(with_flags))
    assert len(found) >= 2
    assert all("NotoSans" in name and embedded for name, embedded in found), found
    assert b"Helvetica" not in with_flags


def test_the_day_sheet_has_every_field(entries: list[Entry]) -> None:
    text = running(day_sheet(entries, date(2026, 10, 21)))
    assert "11:00 Observations temperature 36.9 °C, SpO2 95 %, breathing 17 /min, pulse 124 /min" in text
    assert "smaller spare ID 7 mm, cuff air, expiry 2026-10-21" in text
    assert "Day 21 October 2026 · Tobias Fennimore" in text


def test_what_was_written_later_than_asked_for_takes_no_part(entries: list[Entry]) -> None:
    at = HOME.week(W43)[0] + 3 * 86_400_000_000
    known = [e for e in entries if e.recorded_at <= at]
    text = running(sheet(entries, at=at))
    assert "UNFINISHED" in text
    assert "Holds what was recorded up to Thu 22 October 2026, 00:00." in text
    assert "Incident" not in text
    assert text.count(" Suction ") < running(sheet(entries)).count(" Suction ")
    assert sheet(known, at=at) == sheet(entries, at=at)
