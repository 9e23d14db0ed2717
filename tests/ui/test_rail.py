"""The rail: every page is one or two presses away at any height, and the open flags are counted on it."""

import pytest
from PySide6.QtWidgets import QPushButton, QWidget

from carelog.domain.flag import Level
from carelog.domain.moment import HOUR
from carelog.ui.pages import Spot, standing
from tests.ui.conftest import Opened
from tests.ui.household import NOW
from tests.ui.test_pages import flag, raise_flags


@pytest.mark.parametrize(("height", "percent"), [(600, 100), (560, 200), (480, 200), (420, 200), (1080, 100)])
def test_every_page_is_on_the_rail_or_in_its_list_and_nothing_of_the_rail_is_cut(
    opened: Opened, height: int, percent: int
) -> None:
    opened.window.preferences.change(text_percent=percent)
    opened.window.resize(1024, height)
    opened.come_to_rest()
    rail = opened.find("rail")
    for button in rail.findChildren(QPushButton):
        assert not button.isVisible() or rail.rect().contains(button.geometry())
        assert not button.isVisible() or button.width() >= button.word_width()
        assert not button.isVisible() or button.height() >= 44
    for page in (*standing(Spot.RAIL), *standing(Spot.LIST)):
        opened.press("go_board")
        shown = [b for b in opened.window.findChildren(QPushButton, f"go_{page.name}") if b.isVisible()]
        if not shown:
            opened.press("go_others")
        opened.press(f"go_{page.name}")
        assert opened.window.page() == page.name


def test_where_the_rail_is_too_short_its_last_pages_are_in_the_list(opened: Opened) -> None:
    opened.window.preferences.change(text_percent=200)
    opened.window.rail.setFixedHeight(250)
    opened.come_to_rest()
    hidden = [page.name for page in opened.window.rail.hidden()]
    assert hidden[-2:] == ["cards", "help"]
    assert "board" not in hidden
    opened.press("go_others")
    opened.press("go_cards")
    assert opened.window.page() == "cards"
    assert opened.find("go_others").isChecked()


def test_a_page_of_the_list_is_marked_on_the_rail_by_the_list(opened: Opened) -> None:
    opened.press("go_settings")
    assert [b.objectName() for b in opened.find("rail").findChildren(QPushButton) if b.isChecked()] == [
        "go_others"
    ]


def test_the_open_flags_are_counted_on_their_page_in_sight_and_by_name(opened: Opened) -> None:
    raise_flags(opened)
    without = opened.find("go_flags").grab().toImage()
    assert opened.find("go_flags").accessibleName() == "Flags"
    ended = flag(Level.CALL, cleared_at=NOW - HOUR, cleared_by="entry", ended="next reading 26 cmH2O")
    raise_flags(opened, flag(Level.CALL), flag(Level.NOTE, rule="stoma"), ended)
    assert opened.find("go_flags").accessibleName() == "Flags, 2 open"
    assert opened.find("go_flags").grab().toImage() != without


def test_flags_that_are_not_read_yet_are_not_counted_as_none(opened: Opened) -> None:
    opened.window.desk.present.flags = None
    opened.window.desk.present.when_changed.tell()
    assert opened.find("go_flags").accessibleName() == "Flags"


def test_the_cover_hides_the_rail(opened: Opened) -> None:
    rail: QWidget = opened.window.rail
    opened.rest.toggle_cover()
    assert not rail.isVisible()
    opened.rest.toggle_cover()
    assert rail.isVisible()
