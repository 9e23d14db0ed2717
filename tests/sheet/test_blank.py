"""A blank sheet is made from the person's own plan, with boxes for a gloved hand, and says whose it is."""

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
from carelog.sheet.formed import BOX
from carelog.sheet.page import MILLIMETRE
from tests.journeys.household import Household, carelog
from tests.sheet.pages import no_flags, running, texts
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
    assert carelog(*given, "--large").status == 2
