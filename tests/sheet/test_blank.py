"""A blank sheet is made from the person's own plan, with boxes for a gloved hand, and says whose it is."""

from collections import Counter
from itertools import pairwise
from pathlib import Path
from typing import Any

import pypdfium2
import pypdfium2.raw as raw
import pytest

from carelog.analysis.blankday import blank_day
from carelog.domain.entry import Entry
from carelog.domain.paper import SheetRequest
from carelog.domain.plan import Plan
from carelog.kinds import named_or_unknown
from carelog.sheet import make
from carelog.sheet.formdays import LINE
from carelog.sheet.formed import BOX
from carelog.sheet.page import MILLIMETRE
from tests.journeys.household import Household, carelog
from tests.sheet.pages import no_flags, plain, running, sizes, texts
from tests.sheet.weeks import HOME, PLAN, UNTIL, WEEKS


def blank(entries: list[Entry], **more: Any) -> bytes:
    return make(SheetRequest(name="blank", day=UNTIL, **more), entries, find_flags=no_flags)


@pytest.fixture(scope="module")
def usual() -> list[Entry]:
    return [each for each in WEEKS["usual"]().entries() if each.recorded_at < HOME.start_of(UNTIL)]


def test_a_day_has_the_plans_tasks_with_their_times_and_the_words_that_the_program_uses(
    usual: list[Entry],
) -> None:
    text = running(blank(usual))
    for part in ("Mouth care 08:00", "Mouth care 13:00", "Humidification (nebuliser) 15:00", "Ties"):
        assert part in text
    assert text.count("Inner tube time, by") == 3
    for word in ("thin", "sticky", "plug", "yellow", "moderate", "streaks", "wipes off", "tube blocked"):
        assert word in text
    assert "the plan: 20 to 30 cmH2O" in text
    assert "found at, cmH2O" in text


def test_its_head_says_who_which_tube_whom_to_call_and_the_emergency_plan(usual: list[Entry]) -> None:
    first = texts(blank(usual))[0].replace("\n", " ")
    for part in ("Harriet Quillon", "ID 7.5 mm", "01632 960 999", "Call the emergency number first."):
        assert part in first
    assert "Who writes: ____" in first
    assert "Sun 29 Nov 2026" in first


def test_the_boxes_are_large_enough_for_a_gloved_hand(usual: list[Entry]) -> None:
    assert BOX >= 7
    document = pypdfium2.PdfDocument(blank(usual))
    tall = 0
    for thing in document[0].get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        left, low, right, high = thing.get_bounds()
        tall += abs((high - low) - BOX * MILLIMETRE) < 3 and right - left > 5 * MILLIMETRE
    document.close()
    assert tall > 9 * 18  # the suctions' boxes, and others


def test_what_nobody_recorded_is_nowhere_ticked_or_filled_in(usual: list[Entry]) -> None:
    text = running(blank(usual))
    assert "done" not in text
    assert "no plan" not in text
    assert "06:" not in text.split("Suction")[1]


def test_without_a_plan_what_is_watched_can_still_be_written_down() -> None:
    text = running(blank([]))
    assert "no tube recorded" in text
    assert "What the plan asks for" not in text
    assert "Suction" in text
    assert "Note" in text


def test_where_no_plan_says_in_which_unit_the_unit_stands_open() -> None:
    tasks = {**PLAN, "limits": {}}
    cuff = next(each for each in blank_day(Plan.of("x", 0, tasks)) if each.kind.name == "cuff_pressure")
    assert cuff.fields == ("value", "value_after", "unit")
    assert not any(row.details for row in cuff.rows)


def test_several_days_are_several_pages_each_with_its_date(usual: list[Entry]) -> None:
    pages = texts(blank(usual, count=3))
    for day in ("Sun 29 Nov 2026", "Mon 30 Nov 2026", "Tue 1 Dec 2026"):
        assert sum(f"{day} Who writes" in " ".join(page.split()) for page in pages) == 1


def test_where_there_are_more_suctions_a_day_than_lines_the_others_follow_on_the_back() -> None:
    few, many = (blank_day(Plan.of("x", 0, PLAN), most) for most in (8, 40))
    assert [len(part.rows) for part in few if part.kind.name == "suction"] == [9]
    assert [len(part.rows) for part in many if part.kind.name == "suction"] == [9, 34]


def test_what_a_tick_records_is_whole_or_asks_for_the_form() -> None:
    for part in blank_day(Plan.of("x", 0, PLAN)):
        for row in part.rows:
            kind = named_or_unknown(row.kind)
            if not row.fields and not row.needs_form and not part.has_note:
                assert not kind.problems(row.details), row
    forms = {row.kind for part in blank_day(Plan.of("x", 0, PLAN)) for row in part.rows if row.needs_form}
    assert forms == {"box_check"}


def test_the_command_takes_how_many_days(tmp_path: Path) -> None:
    record, out = str(Household(tmp_path).record()), tmp_path / "blank.pdf"
    given = ["sheet", "--record", record, "--sheet", "blank", "--out", str(out), "--date", "2026-11-30"]
    assert carelog(*given, "--days", "2").status == 0
    assert "Tue 1 Dec 2026" in running(out.read_bytes())
    for wrong in ("0", "x", "400"):
        answer = carelog(*given, "--days", wrong)
        assert (answer.status, "from 1 to 31" in answer.err) == (2, True)
    assert carelog(*given, "--large").status == 0


def week_in_columns(entries: list[Entry], **more: Any) -> bytes:
    return blank(entries, count=7, in_columns=True, **more)


def test_a_week_in_columns_has_each_day_once_beside_the_others_and_a_row_for_each_task(
    usual: list[Entry],
) -> None:
    pages = texts(week_in_columns(usual))
    assert len(pages) == 2
    first = " ".join(pages[0].split())
    assert "Blank sheet, Sun 29 Nov to Sat 5 Dec 2026" in first
    assert "Sun 29 Mon 30 Tue 1 Wed 2 Thu 3 Fri 4 Sat 5" in first
    assert first.count("Inner tube") == 3
    for part in (
        "(nebuliser) 15:00",
        "Mouth care 21:00",
        "the plan: 20 to 30 cmH2O",
        "on the line: time, by",
    ):
        assert part in first
    days = Counter(HOME.day(each.at.instant) for each in usual if each.kind == "suction")
    assert " ".join(pages[1].split()).count("what came up") >= max(days.values())


def test_a_week_in_columns_names_the_words_that_the_program_uses_and_nothing_is_filled_in(
    usual: list[Entry],
) -> None:
    text = running(week_in_columns(usual))
    words = text.split("Words to write")[1]
    for word in ("thin", "sticky", "plug", "yellow", "moderate", "streaks", "wipes off", "tube blocked"):
        assert word in words
    assert "done" not in text
    assert "06:" not in text.split("Cuff pressure")[1]


def test_the_boxes_of_a_week_are_for_a_gloved_hand_and_its_lines_five_millimetres_apart(
    usual: list[Entry],
) -> None:
    assert LINE >= 5
    document = pypdfium2.PdfDocument(week_in_columns(usual))
    boxes, lines = 0, set()
    for thing in document[0].get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        left, low, right, high = thing.get_bounds()
        wide, tall = right - left, high - low
        boxes += abs(tall - BOX * MILLIMETRE) < 2 and abs(wide - tall) < 0.1
        lines.add(round(low, 1) if tall < 1.5 and 50 < wide < 80 else 0)
    document.close()
    assert boxes == 12 * 7
    heights = sorted(lines - {0})
    assert len(heights) == 18
    assert min(above - below for below, above in pairwise(heights)) >= 5 * MILLIMETRE - 0.5


def test_a_longer_time_in_columns_is_a_week_a_sheet(usual: list[Entry]) -> None:
    text = running(week_in_columns(usual) if False else blank(usual, count=9, in_columns=True))
    assert "Sun 29 Mon 30" in text
    assert "Sun 6 Mon 7" in text
    assert text.count("Who writes") == 2


def test_the_command_takes_a_week_in_columns_for_a_blank_sheet_alone(tmp_path: Path) -> None:
    record, out = str(Household(tmp_path).record()), tmp_path / "blank.html"
    given = ["sheet", "--record", record, "--out", str(out), "--html", "--sheet"]
    assert carelog(*given, "blank", "--columns", "--date", "2026-11-30").status == 0
    page = plain(out.read_text("utf-8"))
    assert "Mon 30 Nov to Sun 6 Dec 2026" in page
    assert page.count('<th scope="col">Sun 6</th>') >= 2
    assert "></th>" not in page
    answer = carelog(*given, "order", "--columns")
    assert (answer.status, "not --columns" in answer.err) == (2, True)


def test_the_first_page_has_a_long_name_whole() -> None:
    entries = [each for each in WEEKS["long_names"]().entries() if each.recorded_at < HOME.start_of(UNTIL)]
    first = " ".join(texts(week_in_columns(entries))[0].split())
    assert "Philippa-Wilhelmina Featherstonehaugh-Cholmondeley-Worthington" in first


@pytest.mark.parametrize("cuff", ["foam", "water", "none"])
def test_no_pressure_is_asked_of_a_cuff_without_air(cuff: str) -> None:
    house = WEEKS["usual"]()
    house.tube = {**house.tube, "cuff": cuff}
    entries = [each for each in house.entries() if each.recorded_at < HOME.start_of(UNTIL)]
    for in_columns in (False, True):
        text = running(blank(entries, in_columns=in_columns))
        assert "Cuff pressure" not in text
        assert "Suction" in text


@pytest.mark.parametrize("in_columns", [False, True])
def test_large_print_has_every_row_and_words_to_write_in_letters_of_sixteen_points(
    usual: list[Entry], in_columns: bool
) -> None:
    pdf = blank(usual, large=True, in_columns=in_columns)
    assert min(size for size in sizes(pdf) if size != 1) >= 16
    text = running(pdf)
    for part in (
        "(nebuliser) 15:00",
        "Mouth care 21:00",
        "the plan: 20 to 30 cmH2O",
        "temperature, °C",
        "SpO2, %",
    ):
        assert part in text
    assert text.count("Inner tube") == 3
    for word in ("sticky", "moderate", "streaks", "wipes off", "tube blocked"):
        assert word in text.split("Words to write")[1]
    assert "…" not in text
