"""The strip of the day: there in wide windows, and every mark opens its entry by hand and by key."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from carelog.ui.board.daystrip import DayStrip
from tests.ui.conftest import Opened


@pytest.fixture
def strip(opened: Opened) -> DayStrip:
    """The strip in a window of 1366×768."""
    opened.window.resize(1366, 768)
    opened.wait(lambda: opened.window.desk.present.strip is not None)
    opened.come_to_rest()
    found = opened.find("day_strip")
    assert isinstance(found, DayStrip)
    return found


def test_the_day_is_shown_from_1280_px_on_and_the_tiles_stay_whole(opened: Opened, strip: DayStrip) -> None:
    assert strip.isVisible()
    for tile in opened.window.board.tiles:
        assert tile.visibleRegion().boundingRect() == tile.rect()
        assert tile.height() >= 96
    opened.window.resize(1024, 600)
    opened.come_to_rest()
    assert not strip.isVisible()


def test_a_press_on_each_mark_opens_its_entry(opened: Opened, strip: DayStrip) -> None:
    ids: list[str] = []
    strip._open_entry = ids.append
    for mark in strip.marks():
        QTest.mouseClick(strip, Qt.MouseButton.LeftButton, pos=strip.place_of(mark).toPoint())
    assert ids == [mark.held.entry.id for mark in strip.marks()]
    assert len(ids) >= 4


def test_a_press_far_from_all_marks_opens_nothing(opened: Opened, strip: DayStrip) -> None:
    ids: list[str] = []
    strip._open_entry = ids.append
    QTest.mouseClick(strip, Qt.MouseButton.LeftButton, pos=QPoint(3, 3))
    assert ids == []


def test_arrow_keys_go_from_mark_to_mark_and_return_opens_the_entry(opened: Opened, strip: DayStrip) -> None:
    strip.setFocus()
    for _ in range(2):
        QTest.keyClick(strip, Qt.Key.Key_Left)
    QTest.keyClick(strip, Qt.Key.Key_Return)
    opened.wait(lambda: opened.window.page() == "timeline")
    wanted = strip.marks()[-2]
    assert strip.words_of(wanted).startswith("Inner tube: cleaned, yesterday 22:12, MO")


def test_a_press_is_on_the_strip_as_soon_as_it_is_saved(opened: Opened, strip: DayStrip) -> None:
    before = len(strip.marks())
    opened.press("tile_suction")
    opened.wait(lambda: len(strip.marks()) == before + 1)
    assert "03:12" in strip.accessibleDescription()
