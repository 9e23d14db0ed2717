"""The sheet's page: the last seven days first, the same bytes shown and saved, faults said in words."""

import re
import threading
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from pypdfium2 import PdfDocument
from PySide6.QtCore import QRect
from PySide6.QtGui import QImage
from PySide6.QtPrintSupport import QPrinterInfo
from PySide6.QtWidgets import QLabel, QPushButton

from carelog.app import history
from carelog.app.settings import SettingsFile
from carelog.domain.paper import Sheet, SheetRequest, Span
from carelog.sheet import PaperSheets, sheets
from carelog.sheet.day import DAY
from carelog.sheet.declaration import Declaration
from carelog.ui.newest import Newest
from carelog.ui.palette import NIGHT
from carelog.ui.sheet import pictures, preview
from carelog.ui.sheet.bundle import folder_requests
from carelog.ui.sheet.choice import ROWS
from carelog.ui.sheet.pictures import page_count
from tests.ui.audit import uiaudit
from tests.ui.conftest import Opened, Opener
from tests.ui.test_audit import errors


@pytest.fixture
def paper(opener: Opener) -> Callable[[], Opened]:
    """A window that has real sheets, with their page open and made."""

    def opened() -> Opened:
        found = opener()
        desk = found.window.desk
        desk.parts = desk.parts._replace(sheets=lambda: PaperSheets())
        found.press("go_sheet")
        found.wait(lambda: page(found).made is not None)
        return found

    return opened


def page(opened: Opened) -> Any:
    """The sheet's page."""
    return opened.shown()


def test_the_last_seven_days_are_shown_first_and_this_week_says_that_it_isnt_finished(
    paper: Callable[[], Opened],
) -> None:
    opened = paper()
    today = opened.window.desk.present.home().day(opened.window.desk.present.now())
    assert (page(opened).request().until, page(opened).request().week) == (today, None)
    assert "Sheet of the seven days to" in page(opened)._title.text()
    opened.press("week_earlier")
    assert page(opened).request().week.text() == "2026-W47"
    assert "Not finished" not in page(opened)._title.text()
    opened.press("week_now")
    assert page(opened).request().week.text() == "2026-W48"
    assert "Not finished yet" in page(opened)._title.text()
    opened.press("week_seven_days")
    assert page(opened).request().until == today


def test_what_is_shown_is_saved_byte_for_byte_and_is_what_the_command_makes(
    paper: Callable[[], Opened], tmp_path: Path
) -> None:
    opened = paper()
    opened.press("week_earlier")
    opened.wait(lambda: page(opened).made is not None)
    page(opened).save_to(tmp_path / "week.pdf", page(opened).made)
    record = opened.record
    made = PaperSheets().make(
        SheetRequest(week=page(opened).request().week), record.everything(), record.person().name
    )
    assert (tmp_path / "week.pdf").read_bytes() == page(opened).made.pdf == made
    pictures = [label for label in page(opened).findChildren(QLabel) if not label.pixmap().isNull()]
    assert pictures
    assert pictures[0].accessibleName().startswith("Page 1 of")


def test_a_folder_that_takes_no_file_is_said_in_one_sentence(
    paper: Callable[[], Opened], tmp_path: Path
) -> None:
    opened = paper()
    page(opened).save_to(tmp_path / "missing" / "week.pdf", page(opened).made)
    assert "can't be written" in page(opened)._state.text()


def test_a_sheet_is_never_saved_over_a_record(paper: Callable[[], Opened], tmp_path: Path) -> None:
    opened, record = paper(), tmp_path / "other.carelog"
    record.write_bytes(b"SQLite format 3\0 and more")
    page(opened).save_to(record, page(opened).made)
    assert "is a record" in page(opened)._state.text()
    assert record.read_bytes() == b"SQLite format 3\0 and more"


def test_without_a_printer_the_page_says_so(
    paper: Callable[[], Opened], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QPrinterInfo, "availablePrinters", staticmethod(list))
    opened = paper()
    opened.press("sheet_print")
    assert "No printer is set up" in page(opened)._state.text()


def test_file_names_never_hold_the_persons_name(paper: Callable[[], Opened]) -> None:
    opened = paper()
    assert page(opened).made.file_name == "carelog-week-2026-11-26.pdf"
    opened.press("week_earlier")
    opened.wait(lambda: page(opened).made is not None)
    assert page(opened).made.file_name == "carelog-week-2026-W47.pdf"


def pictures_of(opened: Opened) -> list[QImage]:
    """The pages that are shown."""
    labels = page(opened).findChildren(QLabel)
    return [label.pixmap().toImage() for label in labels if not label.pixmap().isNull()]


def test_the_pages_are_as_wide_as_there_is_room_for_and_grow_with_the_text(
    paper: Callable[[], Opened],
) -> None:
    opened = paper()
    opened.wait(lambda: pictures_of(opened)[0].width() > 880)
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
    by_day, pdf = pictures_of(opened)[0].pixelColor(3, 3).name(), page(opened).made.pdf
    opened.window.preferences.change(palette="night")
    opened.wait(
        lambda: [each.pixelColor(3, 3).name() for each in pictures_of(opened)[:1]] not in ([], [by_day])
    )
    assert by_day == "#ffffff"
    assert pictures_of(opened)[0].pixelColor(3, 3).name() == NIGHT.surface.lower()
    assert uiaudit.mean_luminance(opened.window)[0] <= 0.015
    page(opened).save_to(tmp_path / "night.pdf", page(opened).made)
    assert (tmp_path / "night.pdf").read_bytes() == pdf


def test_no_white_page_stands_on_the_dark_ground_of_high_contrast(paper: Callable[[], Opened]) -> None:
    opened = paper()
    opened.window.preferences.change(palette="contrast_dark")
    opened.wait(lambda: bool(pictures_of(opened)))
    opened.wait(
        lambda: {each.pixelColor(3, 3).lightness() < 64 for each in pictures_of(opened)[:1]} == {True}
    )


def test_a_sheet_that_is_made_for_a_page_that_was_left_is_drawn_once_it_is_open_again_page_by_page(
    paper: Callable[[], Opened], monkeypatch: pytest.MonkeyPatch
) -> None:
    opened, drawn, wide = paper(), list[int](), pictures.wide_picture
    shown, made, at_once = page(opened), page(opened).made, list[int]()
    count = page_count(made.pdf)

    def drawing(pdf: bytes, number: int, width: int) -> QImage:
        drawn.append(number)
        return wide(pdf, number, width)

    monkeypatch.setattr(preview, "wide_picture", drawing)
    opened.window.go("board")
    shown._pages.clear()
    shown._pages.show_pages(made.pdf, count)
    opened.bot.wait(2 * preview.SOON)
    assert drawn == []
    shown._pages._soon.timeout.connect(lambda: at_once.append(len(drawn)))  # after what draws the first
    opened.window.go("sheet")
    opened.wait(lambda: drawn[-count:] == list(range(count)))
    assert (count > 1, at_once[0]) == (True, 1)
    assert len(pictures_of(opened)) == count


def test_pages_that_stand_there_are_drawn_again_only_for_another_room(
    paper: Callable[[], Opened], monkeypatch: pytest.MonkeyPatch
) -> None:
    opened, drawn, wide = paper(), list[tuple[int, int]](), pictures.wide_picture
    shown, made = page(opened)._pages, page(opened).made
    count = page_count(made.pdf)
    opened.wait(lambda: len(pictures_of(opened)) == count and not shown._soon.isActive())

    def drawing(pdf: bytes, number: int, width: int) -> QImage:
        drawn.append((number, width))
        return wide(pdf, number, width)

    monkeypatch.setattr(preview, "wide_picture", drawing)
    shown.show_pages(made.pdf, count)
    opened.bot.wait(2 * preview.SOON)
    assert drawn == []
    opened.window.resize(900, 600)
    opened.wait(lambda: len(drawn) >= count and not shown._soon.isActive())
    assert drawn == [(number, shown._room()) for number in range(count)]
    assert len(pictures_of(opened)) == count


def test_stop_is_offered_only_while_a_sheet_is_made(paper: Callable[[], Opened]) -> None:
    opened = paper()
    assert not page(opened)._stopper.isVisible()
    opened.press("pick_sheet_name_day")
    assert page(opened)._stopper.isVisible()
    opened.wait(lambda: page(opened).made is not None)
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
    opened.wait(lambda: page(opened).made is not None)
    opened.wait(lambda: not page(opened)._pages._soon.isActive())
    assert errors(opened) == []


class Slowly:
    """Real sheets; the first one waits until it is let go."""

    def __init__(self) -> None:
        self.go = threading.Event()
        self.begun: list[SheetRequest] = []
        self.stopped: list[bool] = []

    def offered(self) -> Sequence[Sheet]:
        """Every sheet there is."""
        return PaperSheets().offered()

    def days(self, request: SheetRequest) -> list[date]:
        """The days of a sheet."""
        return PaperSheets().days(request)

    def make(self, request: SheetRequest, entries: Any, name: str = "", **given: Any) -> bytes:
        """Make the sheet, the first one late."""
        self.begun.append(request)
        if len(self.begun) == 1:
            assert self.go.wait(30)
            self.stopped.append(given.pop("is_cancelled")())
        else:
            given.pop("is_cancelled")
        return PaperSheets().make(request, entries, name, **given)


def test_a_sheet_that_comes_late_is_never_shown_or_saved_under_another_weeks_name(
    opener: Opener, tmp_path: Path
) -> None:
    opened, sheets = opener(), Slowly()
    desk = opened.window.desk
    desk.parts = desk.parts._replace(sheets=lambda: sheets)
    opened.press("go_sheet")
    opened.wait(lambda: len(sheets.begun) == 1)
    opened.press("week_earlier")
    sheets.go.set()
    opened.wait(lambda: page(opened).made is not None)
    opened.bot.wait(300)
    made = page(opened).made
    assert "week 47" in page(opened)._title.text()
    assert made.file_name == "carelog-week-2026-W47.pdf"
    record = opened.record
    asked = page(opened).request()
    assert made.pdf == PaperSheets().make(asked, record.everything(), record.person().name)
    assert made.pdf != PaperSheets().make(sheets.begun[0], record.everything(), record.person().name)
    assert page(opened)._pages._pdf == made.pdf
    assert sheets.stopped == [True]


def test_while_another_week_is_made_nothing_of_the_last_one_is_shown_saved_or_printed(
    paper: Callable[[], Opened], monkeypatch: pytest.MonkeyPatch
) -> None:
    from carelog.ui.sheet import page as sheet_page

    opened, sheets = paper(), Slowly()
    for name in ("print_pages", "ask_to_save"):
        monkeypatch.setattr(sheet_page, name, lambda *_given: pytest.fail("nothing to save or to print"))
    page(opened)._maker._sheets = lambda: sheets
    opened.press("week_earlier")
    opened.bot.wait(300)
    assert pictures_of(opened) == []
    for name in ("sheet_save", "sheet_print", "sheet_open"):
        opened.press(name)
        assert "isn't made yet" in page(opened)._state.text()
    sheets.go.set()
    opened.wait(lambda: page(opened).made is not None)


def test_only_the_answer_to_what_was_asked_last_is_taken_however_late_others_come() -> None:
    newest, taken = Newest(), list[str]()
    first, second = newest.ask(), newest.ask()
    second.only(taken.append)("second")
    first.only(taken.append)("first")
    assert taken == ["second"]
    newest.forget()
    second.only(taken.append)("late")
    assert taken == ["second"]


@pytest.mark.parametrize("span", Span, ids=lambda span: span.name)
def test_a_sheet_that_is_declared_can_be_chosen_with_the_days_it_is_of(
    opener: Opener, monkeypatch: pytest.MonkeyPatch, span: Span
) -> None:
    made_up = Declaration(name="thermos", title="hot water", span=span, content=DAY.content)
    monkeypatch.setattr(sheets, "SHEETS", (*sheets.SHEETS, made_up))
    opened = opener()
    desk = opened.window.desk
    desk.parts = desk.parts._replace(sheets=PaperSheets)
    opened.press("go_sheet")
    opened.press("pick_sheet_name_thermos")
    opened.wait(lambda: page(opened).made is not None)
    steps = [page(opened).findChild(QPushButton, name) for name in ("week_earlier", "sheet_day_earlier")]
    by_weeks = span in (Span.WEEK, Span.WEEKS)
    assert [each.isVisibleTo(opened.window) for each in steps] == [by_weeks, span is Span.DAY]
    assert page(opened).made.file_name.startswith("carelog-thermos-2026-")


def pdf_title(pdf: bytes) -> str:
    """What other programs show as the file's title."""
    with PdfDocument(pdf) as document:
        return str(document.get_metadata_value("Title"))


def test_titles_of_window_and_pdf_leave_the_name_out_where_that_is_chosen(
    paper: Callable[[], Opened],
) -> None:
    opened = paper()
    name, first = opened.picture().person.name or "nobody", page(opened).made
    assert name in opened.window.windowTitle()
    assert name in pdf_title(first.pdf)
    opened.press("go_settings")
    opened.press("pick_hides_name_true")
    assert SettingsFile(opened.window.desk.parts.places.settings).read().hides_name
    assert opened.window.windowTitle() == "Settings – carelog"
    opened.press("go_sheet")
    opened.wait(lambda: page(opened).made not in (None, first))
    second = pdf_title(page(opened).made.pdf)
    assert name not in second
    assert "2026" in second
    assert name not in opened.window.windowTitle()
    opened.window.preferences.change(hides_name=False)
    assert name in opened.window.windowTitle()


def test_sheets_are_chosen_by_what_one_needs_them_for_with_a_small_picture_of_each(
    paper: Callable[[], Opened],
) -> None:
    opened = paper()
    for sheet in PaperSheets().offered():
        button = opened.find(f"pick_sheet_name_{sheet.name}")
        assert button.accessibleDescription() == sheet.purpose
        assert sheet.purpose
        assert len(sheet.sketch) == ROWS
        assert len(set(map(len, sheet.sketch))) == 1
    pictures = {
        bytes(opened.find(f"pick_sheet_name_{name}").grab(CORNER).toImage().constBits()) for name in NAMES
    }
    assert len(pictures) == len(NAMES)


NAMES = [sheet.name for sheet in PaperSheets().offered()]
CORNER = QRect(6, 6, 50, 52)


@pytest.mark.parametrize("name", NAMES)
def test_each_sheet_is_made_by_one_press_and_stays_chosen_when_pressed_again(
    paper: Callable[[], Opened], name: str
) -> None:
    opened = paper()
    opened.press(f"pick_sheet_name_{name}")
    opened.pause()
    opened.press(f"pick_sheet_name_{name}")
    opened.wait(lambda: page(opened).made is not None and page(opened).made.request.name == name)
    assert opened.find(f"pick_sheet_name_{name}").isChecked()
    assert page(opened).made.file_name.startswith(f"carelog-{name}-2026")


def test_a_card_has_no_large_print_and_an_order_may_have_all(paper: Callable[[], Opened]) -> None:
    opened = paper()
    opened.press("pick_sheet_large_true")
    opened.press("pick_sheet_name_card")
    opened.wait(lambda: page(opened).made is not None)
    assert not page(opened)._large.isVisible()
    assert page(opened).request().large is False
    assert not page(opened)._much.isVisible()
    opened.press("pick_sheet_name_order")
    opened.wait(lambda: page(opened).made is not None)
    assert page(opened).request().large is True
    opened.press("pick_sheet_all_true")
    assert page(opened).request().everything is True
    opened.press("pick_sheet_name_week")
    assert page(opened).request().everything is False


def test_a_blank_sheet_may_be_a_week_in_columns_and_the_folder_has_a_day_a_page(
    paper: Callable[[], Opened],
) -> None:
    opened = paper()
    assert not page(opened)._ways.isVisible()
    opened.press("pick_sheet_name_blank")
    opened.press("pick_sheet_columns_true")
    opened.wait(lambda: page(opened).made is not None and page(opened).made.request.in_columns)
    assert page(opened).request().count == 7
    assert page(opened)._title.text().startswith("Sheet of 7 days from ")
    base = SheetRequest(day=date(2026, 11, 25))
    folder = {each.name: each for each in folder_requests(page(opened)._sheets.values(), base)}
    assert (folder["blank"].count, folder["blank"].in_columns) == (3, False)
    opened.press("pick_sheet_name_week")
    assert not page(opened).request().in_columns


def test_the_folders_sheets_and_the_emergency_plan_are_printed_in_one_go(
    paper: Callable[[], Opened], monkeypatch: pytest.MonkeyPatch
) -> None:
    from carelog.ui.sheet import page as sheet_page

    printed: list[list[Any]] = []

    def print_pages(_window: object, pages: Any, _title: str) -> str:
        printed.append(pages._parts)
        return "Sent to the printer."

    monkeypatch.setattr(sheet_page, "print_pages", print_pages)
    opened = paper()
    opened.press("sheet_folder")
    opened.wait(lambda: bool(printed))
    *pdfs, text = printed[0]
    titles = [pdf_title(each._pdf) for each in pdfs]
    assert [re.split(" · |, ", title)[0] for title in titles] == [
        "Hand-over",
        "Blank sheet",
        "Card for the pocket",
    ]
    assert [page_count(each._pdf) for each in pdfs] == [1, 3, 1]
    assert text._texts[0][0] == "Call"
    assert page(opened)._state.text() == "Sent to the printer."
    assert "card, emergency plan" in opened.find("sheet_folder").accessibleDescription()
    assert page(opened).made is not None


def test_a_sheet_that_was_stopped_before_it_is_begun_reads_nothing(
    opener: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    read, of_days = list[Sequence[date]](), history.of_days

    def reading(record: Any, days: Sequence[date], *moments: Any) -> history.Sources:
        read.append(days)
        return of_days(record, days, *moments)

    monkeypatch.setattr(history, "of_days", reading)
    opened, sheets = opener(), Slowly()
    desk = opened.window.desk
    desk.parts = desk.parts._replace(sheets=lambda: sheets)
    opened.press("go_sheet")
    opened.wait(lambda: len(sheets.begun) == 1)
    opened.press("week_earlier")
    opened.press("week_earlier")
    sheets.go.set()
    opened.wait(lambda: page(opened).made is not None)
    assert [days[0] for days in read] == [read[0][0], page(opened).request().days(Span.WEEK)[0]]


def test_a_sheet_that_was_stopped_while_it_was_read_is_not_made(
    opener: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened, sheets, of_days = opener(), Slowly(), history.of_days

    def reading(*given: Any) -> history.Sources:
        found = of_days(*given)
        page(opened)._maker.stop()
        return found

    monkeypatch.setattr(history, "of_days", reading)
    desk = opened.window.desk
    desk.parts = desk.parts._replace(sheets=lambda: sheets)
    opened.press("go_sheet")
    opened.wait(lambda: "The sheet was stopped" in page(opened)._state.text())
    assert sheets.begun == []
