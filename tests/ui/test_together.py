"""An urgent flag and a reminder at once, in large letters, on a small screen, by day and at night."""

import pytest
from PySide6.QtCore import QPoint, QRect
from PySide6.QtWidgets import QWidget

from carelog.domain.due import DueState
from carelog.domain.flag import Level
from carelog.domain.moment import HOUR, Moment
from carelog.ui.band import Band
from carelog.ui.board.tile import TileButton
from carelog.ui.words import Words
from tests.ui.audit import uiaudit
from tests.ui.conftest import Opened
from tests.ui.test_pages import flag, raise_flags
from tests.ui.test_pseudo import translated  # noqa: F401

LONG = "Fresh blood at 03:00, at 03:20 and again at 04:10, more each time, and the cuff was put up twice."


def together(opened: Opened, look: str, percent: int, headline: str = "Fresh blood at 03:00.") -> None:
    """Show both at 1024 x 600."""
    opened.window.preferences.change(palette=look, text_percent=percent)
    opened.come_to_rest()
    raise_flags(opened, flag(Level.URGENT, headline=headline))
    opened.come_to_rest()
    opened.window.resize(1024, 600)
    opened.come_to_rest()
    assert opened.rest.urgent.band.isVisible()
    assert opened.rest.reminders.band.isVisible()


def first_row(opened: Opened) -> list[TileButton]:
    """The tiles of the uppermost row."""
    tiles = opened.window.board.tiles
    return [each for each in tiles if each.y() == tiles[0].y()]


def is_whole(widget: QWidget) -> bool:
    """Whether all of it is seen."""
    return widget.visibleRegion().boundingRect() == widget.rect()


def lines(band: Band) -> float:
    """How many lines of text a band's words take."""
    words = band.findChild(Words)
    assert words is not None
    return words.heightForWidth(words.width()) / words.fontMetrics().lineSpacing()


@pytest.mark.parametrize("headline", ["Fresh blood at 03:00.", LONG])
@pytest.mark.parametrize("percent", [150, 175, 200])
def test_a_row_of_tiles_stays_whole_under_both_bands(opened: Opened, percent: int, headline: str) -> None:
    together(opened, "day", percent, headline)
    assert all(is_whole(each) for each in first_row(opened))
    assert lines(opened.rest.urgent.band) < 2.5
    assert lines(opened.rest.reminders.band) < 1.5
    urgent = opened.rest.urgent.band.findChild(Words)
    assert urgent is not None
    assert urgent.text().startswith("Emergency plan now: Fresh blood at 03:00")
    assert headline in opened.rest.urgent.band.accessibleName()
    for name in ("reminder_later", "reminder_hide", "urgent_told"):
        assert is_whole(opened.find(name))


@pytest.mark.parametrize("translated", ["longer"], indirect=True)
def test_the_names_of_a_row_of_tiles_stay_whole_where_words_are_longer(translated: Opened) -> None:  # noqa: F811
    """A smaller promise than above: head and foot take 277 of the 600 px in such a language."""
    together(translated, "day", 200)
    for tile in first_row(translated):
        seen = tile.visibleRegion().boundingRect()
        name = [each.place for each in tile.face().texts if each.size is tile.face().name]
        assert name
        assert all(map(seen.contains, name))


def test_an_empty_receipt_gives_way_to_the_tiles_only_where_letters_are_large(opened: Opened) -> None:
    receipt = opened.window.board.receipt
    assert receipt.isVisible()
    opened.window.preferences.change(text_percent=200)
    opened.come_to_rest()
    assert not receipt.isVisible()
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    assert receipt.isVisible()
    opened.window.preferences.change(text_percent=100)
    assert receipt.isVisible()


def test_a_reminder_in_few_words_tells_overdue_from_due(opened: Opened) -> None:
    given, at = {"device": "nebuliser", "action": "given"}, Moment(opened.clock.instant - 11 * HOUR)
    opened.window.desk.access.act(
        lambda logbook, _record: logbook.record("humidity", given, "LR", at=at),
        lambda _entry: None,
        pytest.fail,
    )
    opened.wait(lambda: DueState.DUE in [due.state for due in opened.picture().dues])
    together(opened, "day", 200)
    states = [due.state for due in opened.picture().dues]
    assert (states.count(DueState.LATE), states.count(DueState.DUE)) == (1, 1)
    words = opened.rest.reminders.band.findChild(Words)
    assert words is not None
    assert words.text() == "one overdue, one due"
    opened.window.preferences.change(text_percent=100)
    opened.come_to_rest()
    assert "overdue since" in words.text()


@pytest.mark.parametrize("percent", [100, 200])
@pytest.mark.parametrize("page", ["board", "flags", "timeline"])
def test_an_urgent_flag_leaves_the_night_dark(opened: Opened, page: str, percent: int) -> None:
    together(opened, "night", percent)
    assert opened.window.do(page)
    opened.come_to_rest()
    assert uiaudit.mean_luminance(opened.window)[0] <= 0.015
    band = opened.rest.urgent.band
    edge, inside = shade(band, band.width() // 2, 1), shade(band, band.width() // 2, 6)
    assert edge > 8 * inside  # an outline, and nothing filled within
    opened.window.preferences.change(palette="day")
    opened.come_to_rest()
    assert shade(band, band.width() // 2, 6) < 80  # by day a filled block of ink


def shade(widget: QWidget, x: int, y: int) -> int:
    """How light a widget is at a place, 0 to 255."""
    return widget.grab(QRect(QPoint(x, y), QPoint(x, y))).toImage().pixelColor(0, 0).lightness()


def test_tab_never_stops_at_the_tiles_as_a_whole_and_goes_on_within_them(opened: Opened) -> None:
    board = opened.window.board
    opened.window.do("due")
    opened.window.do("board")
    assert opened.window.focusWidget() is board.landing  # a second Return from a form records nothing
    opened.window.focusNextPrevChild(True)
    assert opened.window.focusWidget() is board.tiles[0]
    seen = set()
    for _ in range(60):
        opened.window.focusNextPrevChild(True)
        seen.add(opened.window.focusWidget())
    assert board.tiles[0] in seen
    assert board.landing not in seen
