"""Readings of a week are drawn against the plan of their own time, and a changed plan is one sentence."""

from typing import Any

import pytest

from carelog.analysis.compare import WeeksBefore
from carelog.analysis.drawing import Fill, Rectangle
from carelog.analysis.in_force import Reading
from carelog.analysis.period import period
from carelog.analysis.pictures import Columns
from carelog.analysis.plans import plans
from carelog.analysis.week import Review
from carelog.domain.entry import Entry
from carelog.domain.moment import Week
from carelog.sheet.blocks import PictureRow
from carelog.sheet.chart import chart
from tests.sheet.pages import entry, running, sheet

W47 = Week(2026, 47)
COLUMNS = Columns(7, 100.0)


def plan(number: int, when: str, low: float, high: float, unit: str = "cmH2O") -> Entry:
    limits: dict[str, Any] = {"cuff_pressure": {"low": low, "high": high, "unit": unit}}
    details = {"set_by": "a nurse", "tasks": [], "limits": limits}
    return entry(number, when, "plan", details=details)


def read(number: int, day: int, value: float) -> Entry:
    when = f"2026-11-{day:02}T12:00:00Z"
    return entry(number, when, "cuff_pressure", details={"value": value, "unit": "cmH2O"})


def picture(found: list[Entry]) -> PictureRow:
    reading = Reading(found)
    review = Review(reading, found, period(reading, W47.days(), None), plans(reading))
    rows = chart(review, WeeksBefore(review), COLUMNS, ()).rows
    return next(row for row in rows if isinstance(row, PictureRow) and row.title.startswith("Cuff pressure"))


def bands(row: PictureRow) -> list[tuple[float, float]]:
    """From where to where each band reaches, in days."""
    return [
        (part.x / COLUMNS.width, (part.x + part.width) / COLUMNS.width)
        for part in row.drawing.parts
        if isinstance(part, Rectangle) and part.fill is Fill.DOTS
    ]


def test_each_plan_has_its_band_over_its_own_time() -> None:
    found = [
        plan(1, "2026-11-01T08:00:00Z", 20, 30),
        plan(2, "2026-11-18T12:00:00Z", 22, 26),
        read(3, 16, 28),
        read(4, 20, 28),
    ]
    row = picture(found)
    assert bands(row) == [(0, 2.5), (2.5, 7)]
    assert row.beside.startswith("lines: each plan's limits, over its own time; last Fri")
    assert "[above 26" in row.cells[4].replace("\N{NO-BREAK SPACE}", " ")
    assert "above" not in row.cells[0]


def test_before_the_first_plan_there_is_no_band() -> None:
    row = picture([plan(1, "2026-11-18T12:00:00Z", 22, 26), read(3, 16, 28)])
    assert bands(row) == [(2.5, 7)]


def test_one_plan_has_one_band_and_its_limits_in_words() -> None:
    row = picture([plan(1, "2026-11-01T08:00:00Z", 20, 30), read(3, 16, 28)])
    assert bands(row) == [(0, 7)]
    beside = row.beside.replace("\N{NO-BREAK SPACE}", " ")
    assert beside == "lines: the plan's 20 cmH2O and 30 cmH2O; last Mon 16"


def test_a_plan_in_another_unit_is_drawn_in_that_of_the_last() -> None:
    found = [
        plan(1, "2026-11-01T08:00:00Z", 15, 22, "mmHg"),
        plan(2, "2026-11-18T12:00:00Z", 20, 30),
        read(3, 16, 25),
    ]
    row = picture(found)
    first, second = (p for p in row.drawing.parts if isinstance(p, Rectangle) and p.fill is Fill.DOTS)
    assert first.height == pytest.approx(second.height, rel=0.05)


def test_a_changed_plan_is_one_sentence_on_the_first_page_and_in_the_list() -> None:
    found = [plan(1, "2026-11-01T08:00:00Z", 20, 30), plan(2, "2026-11-18T12:00:00Z", 22, 26)]
    text = running(sheet(found, W47))
    assert "Plan changed: Wed 18 Nov 12:00: cuff 20–30 › 22–26 cmH2O" in text
    assert text.count("cuff 20–30 › 22–26 cmH2O") == 2
    assert text.count("cuff pressure 22 to 26 cmH2O") == 1
    assert "cuff pressure 20 to 30" not in text
