"""A dozen made-up weeks on paper: two pages each."""

import re
from functools import cache

import pytest

from carelog.analysis import pictures
from carelog.analysis.drawing import Fill, Rectangle
from carelog.domain.moment import HOUR
from carelog.domain.paper import SheetRequest
from carelog.sheet import make
from carelog.sheet.blocks import Content, Feet, Item, words
from carelog.sheet.letters import Letters
from carelog.sheet.page import Book, style
from carelog.sheet.points import WHOLE_UP_TO, item_lines, item_parts
from tests.sheet.pages import plain, sizes, texts
from tests.sheet.weeks import HOME, UNTIL, WEEKS, at

NOW = HOME.end_of(UNTIL) - 2 * HOUR


@cache
def week_sheet(name: str, **more: object) -> list[str]:
    """The pages of the seven days to the last evening, with the flags that the rules raise."""
    entries = [each for each in WEEKS[name]().entries() if each.recorded_at <= NOW]
    pdf = make(SheetRequest(until=UNTIL, now=NOW, **more), entries)  # type: ignore[arg-type]
    assert min(size for size in sizes(pdf) if size != 1) >= (
        16 if "large" in more else 8
    )  # 1: the matrix of shaped letters sets it
    return texts(pdf)


def line(pages: list[str]) -> str:
    return re.sub(r"\s+", " ", plain(" ".join(pages)))


@pytest.mark.parametrize("name", sorted(WEEKS))
def test_each_of_a_dozen_weeks_fits_two_pages(name: str) -> None:
    pages = week_sheet(name)
    assert len(pages) == 2
    assert "Every entry" in pages[-1]


@pytest.mark.parametrize("name", sorted(WEEKS.keys() - {"ill"}))
def test_in_large_print_a_week_takes_at_most_twice_the_pages(name: str) -> None:
    pages = week_sheet(name, large=True)
    assert len(pages) <= 4
    assert "Entries that say more" in line(pages)


def test_in_large_print_a_flag_that_came_again_is_told_once_with_all_its_times() -> None:
    text = line(week_sheet("wounds", large=True))
    assert "3 times, the last: Speaking valve on at 11:32" in text
    for time in ("Mon 23 11:32 to 13:05", "Thu 26 11:32 to 13:05", "Sun 29 11:32 to 13:05"):
        assert time in text
    assert text.count("the upper airway is recorded as not open") == 1


def test_in_large_print_a_valve_whose_hours_stand_in_the_rows_is_listed_where_more_is_to_be_said() -> None:
    def listed(name: str) -> str:
        return line(week_sheet(name, large=True)).split("Entries that say more")[1]

    assert "Speaking valve" not in listed("usual")
    assert "Speaking valve, on" in listed("no_cuff")  # nobody said that a cuff is down


def test_large_print_says_all_of_what_nobody_recorded_telling_anyone() -> None:
    text = line(week_sheet("wounds", large=True))
    assert text.count("nobody recorded telling anyone") == 2


def test_every_page_in_large_print_has_its_code_and_says_up_to_when_it_holds_what_was_recorded() -> None:
    pages = week_sheet("ill", large=True)
    code = re.search(r"Check code ((?:\w{4} ){3}\w{4})\.", pages[0])
    assert code
    assert "It advises no treatment." in pages[0]
    for page in pages:
        assert "Holds what was recorded up to Sun 29 November 2026, 21:46." in page
        assert code[0] in page


def test_in_large_print_shapes_that_say_all_of_a_day_are_told_in_words_once() -> None:
    text = line(week_sheet("stopped_writing", large=True))
    assert "a shape alone means done not recorded" in text
    assert "not recorded 14:33, 22:33" in text


def test_in_large_print_readings_stand_in_their_picture_and_unusual_suctions_run_together() -> None:
    listed = line(week_sheet("ill", large=True)).split("Entries that say more")[1]
    assert "Cuff pressure" not in listed
    assert re.search(r"Suction yellow: \d\d:\d\d( \d\d:\d\d)+; HQ \d\d:\d\d", listed)
    assert "Tue 24 Nov, Wed 25 Nov nothing more." in listed


def test_a_long_point_breaks_only_before_what_stands_under_it() -> None:
    book = Book(style("a4", large=False), Content("", "", "", Feet(), ()), Letters())
    under = tuple(words(f"{name} " + "word " * 60) for name in ("first", "second", "third"))
    item = Item(words("Unlike the usual, still there:"), under=under)
    own, first, *rest = item_lines(book, item, 120)
    assert 3 < len(first) <= WHOLE_UP_TO
    assert [len(part) for part in item_parts(book, item, 120)] == [len(own) + len(first), *map(len, rest)]


def test_the_hours_of_a_valve_and_of_a_cuff_that_is_down_stand_under_their_days() -> None:
    text = line(week_sheet("usual"))
    assert "Valve or cap on 1 h 33 none recorded none recorded 1 h 33" in text
    assert "Cuff down 1 h 38 none recorded none recorded 1 h 38" in text
    text = line(week_sheet("no_cuff"))
    assert "Valve or cap on 11 h 30 11 h 30 11 h 30 11 h 30 13 h 55 11 h 30 11 h 30" in text
    assert "Cuff down" not in text


def test_who_rated_is_said_for_each_day() -> None:
    text = line(week_sheet("usual"))
    assert re.search(r"rated by (MQ \d+, HQ \d+ ){3}", text)


def test_where_no_reading_is_there_since_the_last_one_is_named() -> None:
    text = line(week_sheet("stopped_writing"))
    assert re.search(r"Temperature, °C [\d. ]+ – – – last Wed 25", text)
    assert "last Wed" not in line(week_sheet("usual"))


def test_of_a_stoma_that_is_the_same_each_time_it_is_said_once() -> None:
    text = line(week_sheet("usual"))
    assert text.count("crust none") == 1
    assert "each time: crust none, skin whole, fluid none" in text
    assert "broken" in line(week_sheet("wounds"))


def test_suctions_run_together_and_what_is_unlike_the_usual_is_named() -> None:
    usual, ill = line(week_sheet("usual")), line(week_sheet("ill"))
    assert re.search(r"Suction( \d\d:\d\d){3,}", usual)
    assert "yellow: " in ill
    assert "yellow" not in usual.split("Every entry")[1]


def test_the_picture_of_what_differs_begins_with_one_sentence() -> None:
    text = line(week_sheet("ill"))
    assert re.search(
        r"\d+ things are different, most of all \w[^.]*\. Black: these days; dotted: before\.", text
    )
    assert re.search(r"Suction, yellow \d+ of \d+ \(before 0 of \d+\)", text)


def test_days_on_which_nobody_wrote_are_no_difference() -> None:
    text = line(week_sheet("stopped_writing"))
    differs = text.split("Different from")[1].split("Not recorded")[0]
    assert "a day" not in differs
    assert "Not compared, since nothing at all was recorded: Thu 26, Fri 27, Sat 28" in differs


def test_days_away_are_said_to_take_no_part_and_their_bars_are_not_outside_the_usual() -> None:
    text = line(week_sheet("hospital_stay"))
    assert "Not compared, since away or not written down: Tue 24, Wed 25, Thu 26, Fri 27." in text
    few = pictures.counts(pictures.Columns(2, 60), [2, 2], (6, 12), partial=[1])
    filled = [part.fill for part in few.parts if isinstance(part, Rectangle) and part.weight == 0.6]
    assert filled == [Fill.INK, Fill.NONE]


def test_of_a_day_that_is_not_over_and_has_no_entry_no_hours_are_told() -> None:
    text = line(week_sheet("stopped_writing"))
    told = text.split("No entry for")[1].split("Nurse's note")[0]
    assert told.count("no entry at all") == 3
    assert told.strip().endswith("no entry at all –")
    assert re.search(r"\d\d h \d\d or more / – no entry at all", told)


def test_a_signed_week_has_no_lines_to_sign() -> None:
    entries = [*WEEKS["usual"]().entries()]
    visit = entries[-1].__class__(
        id="00000000-0000-4000-8000-0000000fffff",
        kind="visit",
        at=HOME.moment(at(34, "21:50")),
        recorded_at=at(34, "21:50"),
        by="NT",
        details={"nurse": "Nell Tarrowby", "until": str(UNTIL), "signed": True},
    )
    late = entries[-1].__class__(
        id="00000000-0000-4000-8000-0000000ffffe",
        kind="suction",
        at=HOME.moment(at(33, "03:10")),
        recorded_at=at(34, "21:55"),
        by="NT",
    )
    known = [e for e in entries if e.recorded_at <= NOW]
    pdf = make(SheetRequest(until=UNTIL, now=NOW), [*known, visit, late])
    text = line(texts(pdf))
    first_page = line(texts(pdf)[:1])
    assert (
        first_page.split("Nurse's visit")[1]
        .split("Seven days")[0]
        .strip()
        .endswith("signed, NT Since then one entry of these days was written or changed. It is marked.")
    )
    assert "Signed Sun 29 Nov 21:50 by Nell Tarrowby" in text
    assert "Since then one entry of these days was written or changed. It is marked." in text
    assert text.count("written after these days were signed, Sun 29 21:55") == 1
    assert "Name and signature" not in text
    assert "Name and signature" in line(week_sheet("usual"))
