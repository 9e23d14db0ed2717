"""A sheet is declared once: the command, the refusals and the making of it read the declaration."""

import subprocess
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path

import pytest

from carelog.analysis.pictures import Columns
from carelog.domain.entry import Entry
from carelog.domain.paper import SheetRequest, Span
from carelog.domain.trouble import WrongUse
from carelog.sheet import PaperSheets, make, sheets
from carelog.sheet.blocks import Content, Feet, Heading
from carelog.sheet.declaration import Declaration
from carelog.sheet.material import Material
from tests.journeys.household import Household, carelog


def content(found: Material, entries: Sequence[Entry], columns: Columns) -> Content:
    """A heading, and the person's name."""
    return Content("Thermos list", found.name, "Thermos list", Feet(), (Heading("Hot water"),))


@pytest.fixture(params=list(Span), ids=lambda span: span.name)
def span(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Span:
    """A made-up sheet of this span is in the list of all."""
    found: Span = request.param
    made_up = Declaration(name="thermos", title="hot water", span=found, content=content)
    monkeypatch.setattr(sheets, "SHEETS", (*sheets.SHEETS, made_up))
    return found


def test_a_sheet_that_is_declared_is_offered_made_and_named_in_refusals(span: Span, tmp_path: Path) -> None:
    *others, last = [each.name for each in PaperSheets().offered()]
    assert others[:2] == ["week", "day"]
    assert last == "thermos"
    home = Household(tmp_path)
    home.write("2 08:00", "person", name="Odette Farrow", home_zone="Europe/London")
    given = ["sheet", "--record", str(home.record()), "--sheet"]
    page, pdf = tmp_path / "page.html", tmp_path / "page.pdf"
    assert carelog(*given, "thermos", "--html", "--out", str(page)).status == 0
    assert "Hot water" in page.read_text("utf-8")
    assert carelog(*given, "thermos", "--out", str(pdf)).status == 0
    assert pdf.read_bytes().startswith(b"%PDF-")
    names = ", ".join([*others, "thermos"])
    assert f"there are {names}." in carelog(*given, "month", "--out", str(pdf)).err


def test_a_sheet_takes_the_options_of_its_span_and_no_others(span: Span, tmp_path: Path) -> None:
    record, out = str(Household(tmp_path).record()), str(tmp_path / "s.html")
    values = {"week": "2026-W45", "until": "2026-11-08", "date": "2026-11-08"}
    for option, value in values.items():
        words = ["--sheet", "thermos", "--html", "--out", out, f"--{option}", value]
        answer = carelog("sheet", "--record", record, *words)
        assert answer.status == (0 if option in span.options else 2), (option, answer.err)


def test_a_sheet_takes_its_own_options_and_large_print_only_where_it_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    small = Declaration(name="thermos", title="hot water", span=Span.TODAY, content=content, has_large=False)
    own = Declaration(name="kettle", title="kettle", span=Span.TODAY, content=content, takes=("date",))
    monkeypatch.setattr(sheets, "SHEETS", (*sheets.SHEETS, small, own))
    given = ["sheet", "--record", str(Household(tmp_path).record()), "--html", "--out", str(tmp_path / "s")]
    assert "one size of print" in carelog(*given, "--sheet", "thermos", "--large").err
    assert carelog(*given, "--sheet", "kettle", "--large").status == 0
    assert carelog(*given, "--sheet", "kettle", "--date", "2026-11-08").status == 0
    refused = carelog(*given, "--sheet", "kettle", "--week", "2026-W45")
    assert (refused.status, "takes --date, not --week" in refused.err) == (2, True)


def test_without_days_a_request_is_of_this_week_or_today(span: Span) -> None:
    today = date(2026, 11, 25)
    days = SheetRequest(name="thermos").dated(span, today).days(span)
    assert today in days
    assert len(days) == {Span.WEEK: 7, Span.WEEKS: 28}.get(span, 1)
    with pytest.raises(WrongUse, match="Say which"):
        make(SheetRequest(name="thermos"), [])


PARTS = {
    "course": ("sheet.axis", "analysis.course.course"),
    "handover": ("sheet.handed", "analysis.lately"),
    "blank": ("sheet.blankday", "analysis.blankday"),
    "card": ("sheet.pocket",),
    "order": ("sheet.ordered", "analysis.ordering"),
    "home": ("sheet.homecoming", "analysis.homecoming"),
    "plan": ("sheet.planned", "analysis.sentences"),
}
"""By sheet, what works it out and draws it and no week needs."""


@pytest.mark.parametrize("name", ["week", *PARTS])
def test_what_draws_a_sheet_is_not_loaded_for_a_week(name: str) -> None:
    code = (
        "import sys\n"
        "from datetime import date\n"
        "from carelog.sheet import SheetRequest, make\n"
        "from carelog.sheet.sheets import sheet_named\n"
        f"asked = SheetRequest(name={name!r}).dated(sheet_named({name!r}).span, date(2026, 11, 22))\n"
        "make(asked, [])\n"
        "print(*(each.removeprefix('carelog.') for each in sys.modules))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded, own = set(done.stdout.split()), set(PARTS.get(name, ()))
    assert own <= loaded
    if name == "week":
        assert not loaded & {part for parts in PARTS.values() for part in parts}
