"""The sheet's page: the last full week first, the same bytes shown and saved, faults said in words."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QLabel

from carelog.domain.paper import SheetRequest
from carelog.sheet import Press
from carelog.ui.palette import NIGHT
from tests.ui.audit import uiaudit
from tests.ui.conftest import Opened, Opener
from tests.ui.test_audit import errors


@pytest.fixture
def paper(opener: Opener) -> Callable[[], Opened]:
    """A window that has real sheets, with their page open and made."""

    def opened() -> Opened:
        found = opener()
        desk = found.window.desk
        desk.parts = replace(desk.parts, sheets=lambda: Press())
        found.press("go_sheet")
        found.wait(lambda: page(found)._pdf != b"")
        return found

    return opened


def page(opened: Opened) -> Any:
    """The sheet's page."""
    return opened.window.stack.currentWidget()


def test_the_last_full_week_is_shown_first_and_this_week_says_that_it_isnt_finished(
    paper: Callable[[], Opened],
) -> None:
    opened = paper()
    assert page(opened).request().week.text() == "2026-W47"
    assert "Not finished" not in page(opened)._title.text()
    opened.press("week_now")
    assert page(opened).request().week.text() == "2026-W48"
    assert "Not finished yet" in page(opened)._title.text()


def test_what_is_shown_is_saved_byte_for_byte_and_is_what_the_command_makes(
    paper: Callable[[], Opened], tmp_path: Path
) -> None:
    opened = paper()
    page(opened).save_to(tmp_path / "week.pdf")
    record = opened.record
    made = Press().make(
        SheetRequest(week=page(opened).request().week), record.everything(), record.person().name
    )
    assert (tmp_path / "week.pdf").read_bytes() == page(opened)._pdf == made
    pictures = [label for label in page(opened).findChildren(QLabel) if not label.pixmap().isNull()]
    assert pictures
    assert pictures[0].accessibleName().startswith("Page 1 of")


def test_a_folder_that_takes_no_file_is_said_in_one_sentence(
    paper: Callable[[], Opened], tmp_path: Path
) -> None:
    opened = paper()
    page(opened).save_to(tmp_path / "missing" / "week.pdf")
    assert "can't be written" in page(opened)._state.text()


def test_a_sheet_is_never_saved_over_a_record(paper: Callable[[], Opened], tmp_path: Path) -> None:
    opened, record = paper(), tmp_path / "other.carelog"
    record.write_bytes(b"SQLite format 3\0 and more")
    page(opened).save_to(record)
    assert "is a record" in page(opened)._state.text()
    assert record.read_bytes() == b"SQLite format 3\0 and more"


def test_without_a_printer_the_page_says_so(
    paper: Callable[[], Opened], monkeypatch: pytest.MonkeyPatch
) -> None:
    from carelog.ui.sheet import printing

    monkeypatch.setattr(printing.QPrinterInfo, "availablePrinters", staticmethod(list))
    opened = paper()
    opened.press("sheet_print")
    assert "No printer is set up" in page(opened)._state.text()


def test_file_names_never_hold_the_persons_name(paper: Callable[[], Opened]) -> None:
    opened = paper()
    assert page(opened).file_name() == "carelog-week-2026-W47.pdf"


def pictures_of(opened: Opened) -> list[QImage]:
    """The pages that are shown."""
    labels = page(opened).findChildren(QLabel)
    return [label.pixmap().toImage() for label in labels if not label.pixmap().isNull()]


def test_the_pages_are_as_wide_as_there_is_room_for_and_grow_with_the_text(
    paper: Callable[[], Opened],
) -> None:
    opened = paper()
    opened.wait(lambda: pictures_of(opened)[0].width() > 900)
    opened.window.resize(1920, 1080)
    opened.wait(lambda: pictures_of(opened)[0].width() == 1080)
    opened.window.preferences.change(text_percent=150)
    opened.wait(lambda: pictures_of(opened)[0].width() == 1620)
    opened.window.resize(1024, 600)
    opened.wait(lambda: pictures_of(opened)[0].width() < 1024)


def test_at_night_the_pages_are_dark_and_what_is_saved_is_not(
    paper: Callable[[], Opened], tmp_path: Path
) -> None:
    opened = paper()
    opened.wait(lambda: bool(pictures_of(opened)))
    by_day, pdf = pictures_of(opened)[0].pixelColor(3, 3).name(), page(opened)._pdf
    opened.window.preferences.change(palette="night")
    opened.wait(lambda: pictures_of(opened)[0].pixelColor(3, 3).name() != by_day)
    assert by_day == "#ffffff"
    assert pictures_of(opened)[0].pixelColor(3, 3).name() == NIGHT.surface.lower()
    assert uiaudit.mean_luminance(opened.window)[0] <= 0.015
    page(opened).save_to(tmp_path / "night.pdf")
    assert (tmp_path / "night.pdf").read_bytes() == pdf


def test_stop_is_offered_only_while_a_sheet_is_made(paper: Callable[[], Opened]) -> None:
    opened = paper()
    assert not page(opened)._stopper.isVisible()
    opened.press("pick_sheet_name_day")
    assert page(opened)._stopper.isVisible()
    opened.wait(lambda: page(opened)._pdf != b"")
    assert not page(opened)._stopper.isVisible()
    assert [page(opened)._weeks.isVisible(), page(opened)._days.isVisible()] == [False, True]


@pytest.mark.parametrize("look", ["day", "night"])
@pytest.mark.parametrize("name", ["week", "day"])
def test_the_sheets_page_has_no_defect_that_can_be_measured(
    paper: Callable[[], Opened], look: str, name: str
) -> None:
    opened = paper()
    opened.window.preferences.change(palette=look)
    if name == "day":
        opened.press("pick_sheet_name_day")
    opened.wait(lambda: page(opened)._pdf != b"")
    opened.bot.wait(300)
    assert errors(opened) == []
