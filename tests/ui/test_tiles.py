"""The tiles: what they tell, that nothing on them is cut, and that all can be pressed under both bands."""

from collections.abc import Sequence
from functools import partial
from itertools import product

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QFontMetrics, QPixmap
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QWidget

from carelog.domain.due import DueState
from carelog.domain.flag import Level
from carelog.domain.moment import HOUR, MINUTE
from carelog.ui.board.face import FaceState, face, least_height
from carelog.ui.board.page import Board
from carelog.ui.board.tile import TileButton
from carelog.ui.theme import Size, font
from tests.ui.conftest import Opened, Opener
from tests.ui.household import NOW, StandingClock
from tests.ui.test_board import texts
from tests.ui.test_pages import flag, raise_flags

STATES = (
    FaceState(),
    FaceState((), ("not recorded yet",)),
    FaceState(("yellow", "thick", "amount large"), ("17:41 MQ", "7 today"), "next 22:16", DueState.LATER),
    FaceState(("34 cmH2O",), ("yesterday 18:22 MQ",), "overdue since Thu 20:02", DueState.LATE),
)


def tiles(opened: Opened) -> list[TileButton]:
    return [*opened.window.board.tiles, opened.window.board.more]


def words_on(tile: TileButton) -> str:
    """All that is painted on a tile."""
    return " ".join(text.words for text in tile.face().texts)


def test_a_tile_tells_what_was_recorded_last_when_by_whom_and_how_often_today(opened: Opened) -> None:
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.press("pick_colour_yellow")
    opened.wait(lambda: "yellow" in words_on(opened.find("tile_suction")))
    opened.wait(lambda: "today" in words_on(opened.find("tile_suction")))
    assert words_on(opened.find("tile_suction")) == "Suction yellow 03:12\N{NO-BREAK SPACE}LR · 1 today"
    assert (
        opened.find("tile_suction").accessibleName() == "Suction, yellow, 03:12\N{NO-BREAK SPACE}LR, 1 today"
    )
    assert "34\N{NO-BREAK SPACE}cmH2O" in words_on(opened.find("tile_cuff_pressure"))


def test_a_tile_tells_what_the_plan_asks_for_next_in_words_and_shape(opener: Opener) -> None:
    opened = opener(clock=StandingClock(NOW + 6 * MINUTE))
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    assert "next 06:12" in words_on(opened.find("tile_inner_tube"))
    assert opened.find("tile_inner_tube").face().square.isEmpty()
    mouth_care = opened.find("tile_mouth_care")
    assert mouth_care.state.mark is DueState.LATE
    assert "overdue since 03:00" in words_on(mouth_care)
    assert not mouth_care.face().square.isEmpty()
    assert "overdue since 03:00" in mouth_care.accessibleName()


def test_a_slot_that_was_missed_stays_told_when_the_next_one_opens(opener: Opener) -> None:
    opened = opener(clock=StandingClock(NOW + 4 * HOUR))
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    mouth_care = opened.find("tile_mouth_care")
    opened.wait(lambda: mouth_care.state.mark is DueState.LATE)
    assert "overdue since 03:00" in words_on(mouth_care)


def test_before_the_record_is_read_a_tile_says_so(opener: Opener) -> None:
    opened = opener(is_waiting=False, opener=lambda _path: pytest.fail("too early"))
    assert words_on(opened.find("tile_suction")).endswith("not read yet")


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_nothing_on_a_tile_is_cut_and_nothing_lies_on_anything_else(opened: Opened, percent: int) -> None:
    opened.window.preferences.change(text_percent=percent)
    sizes = ((150, 96), (157, 118), (157, 140), (220, 150), (336, 208), (290, 180))
    for state, size in product(STATES, sizes):
        check_whole(percent, state, size)


def check_whole(percent: int, state: FaceState, size: tuple[int, int]) -> None:
    """All texts of a tile of this size stand whole beside one another."""
    width = size[0] * percent // 100
    height = max(size[1], least_height(width, "Inner tube cleaned", state))
    made = face(width, height, "Inner tube cleaned", state)
    places = [text.place for text in made.texts]
    for text in made.texts:
        assert QFontMetrics(font(text.size, percent)).horizontalAdvance(text.words) <= text.place.width()
        assert text.place.top() >= 0
        assert text.place.bottom() < height
    for number, place in enumerate(places):
        assert not any(place.intersects(other) for other in places[number + 1 :])
        assert made.glyph.isEmpty() or not place.intersects(made.glyph)
    shown = " ".join(text.words for text in made.texts)
    for words in ("Inner tube cleaned", *state.when, state.due):
        assert words in shown


def test_where_there_is_room_a_tile_shows_its_drawing_and_what_was_recorded(
    opened: Opened,
) -> None:
    assert opened.window.theme.percent == 100
    small, large = face(150, 96, "Stoma…", STATES[2]), face(336, 208, "Stoma…", STATES[2])
    assert small.glyph.isEmpty()
    assert not large.glyph.isEmpty()
    assert large.name is Size.RECEIPT
    assert "yellow, thick, amount large" in [text.words for text in large.texts]


def test_all_names_on_the_board_have_letters_of_one_size(opened: Opened) -> None:
    opened.come_to_rest()
    assert len({tile.face().name for tile in tiles(opened)}) == 1


# Under both bands ---------------------------------------------------------------------------------------


@pytest.fixture
def crowded(opener: Opener) -> Opened:
    """At 1024×600 a reminder and an urgent band, many flags, and something just saved."""
    opened = opener(clock=StandingClock(NOW + HOUR))
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    urgent = flag(Level.URGENT, headline="Fresh blood at 03:00.")
    raise_flags(opened, urgent, flag(Level.CALL), flag(Level.NOTE, rule="stoma"))
    opened.come_to_rest()
    assert opened.find("urgent_band").isVisible()
    assert opened.find("reminder_band").isVisible()
    assert opened.window.height() == 600
    return opened


def test_under_both_bands_every_tile_is_whole_and_at_least_96_px(crowded: Opened) -> None:
    assert len(tiles(crowded)) == 12
    for tile in tiles(crowded):
        assert tile.visibleRegion().boundingRect() == tile.rect(), tile.objectName()
        assert min(tile.width(), tile.height()) >= 96, tile.objectName()
    assert len({tile.y() for tile in tiles(crowded)}) == 3


def test_under_both_bands_the_receipt_and_the_emergency_button_are_whole(crowded: Opened) -> None:
    for name in ("receipt", "undo", "minutes_5", "more_details", "go_emergency", "urgent_told", "go_board"):
        widget = crowded.find(name)
        assert widget.visibleRegion().boundingRect() == widget.rect(), name
    undo = crowded.find("undo")
    for button in crowded.find("receipt").findChildren(QPushButton):
        if button.isVisible() and button is not undo:
            assert (
                button.mapTo(crowded.window, QPoint(button.width(), 0)).x()
                <= undo.mapTo(crowded.window, QPoint(0, 0)).x()
            )


def test_under_both_bands_a_press_on_the_edge_of_each_tile_reaches_it(crowded: Opened) -> None:
    for number, tile in enumerate(tiles(crowded)):
        pressed: list[int] = []
        tile.clicked.connect(partial(pressed.append, number))
        for corner in (QPoint(4, 4), QPoint(tile.width() - 5, tile.height() - 5)):
            place = tile.mapTo(crowded.window, corner)
            reached = crowded.window.childAt(place)
            assert reached is tile, tile.objectName()
        QTest.mouseClick(tile, Qt.MouseButton.LeftButton, pos=QPoint(4, 4))
        assert pressed, tile.objectName()
        crowded.window.go("board")


def test_a_tile_changes_in_sight_while_it_is_pressed(opened: Opened) -> None:
    tile = opened.find("tile_suction")
    tile.clearFocus()
    before = picture(tile)
    QTest.mousePress(tile, Qt.MouseButton.LeftButton)
    assert differing(before, picture(tile)) > 0.2
    QTest.mouseRelease(tile, Qt.MouseButton.LeftButton)


def test_a_tile_that_is_pressed_by_its_key_looks_pressed_too(opened: Opened) -> None:
    tile = opened.find("tile_stoma")
    before = picture(tile)
    tile.light()
    assert differing(before, picture(tile)) > 0.2
    opened.wait(lambda: differing(before, picture(tile)) == 0)


def picture(widget: QWidget) -> QPixmap:
    return widget.grab()


def differing(one: QPixmap, other: QPixmap) -> float:
    """The share of pixels that are not the same."""
    first, second = one.toImage(), other.toImage()
    size = first.size()
    places = [(x, y) for x in range(0, size.width(), 3) for y in range(0, size.height(), 3)]
    return sum(first.pixel(x, y) != second.pixel(x, y) for x, y in places) / len(places)


# One place a subject ------------------------------------------------------------------------------------


def test_a_reminder_names_the_two_worst_and_counts_the_rest_and_the_list_does_not_say_them_again(
    opener: Opener,
) -> None:
    opened = opener(clock=StandingClock(NOW + 10 * HOUR))
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    raise_flags(opened)
    band = opened.find("reminder_band").words()
    assert band.count(";") == 2
    assert band.endswith("more")
    named = said_names(band)
    shown = texts(opened.window.board.aside)
    assert all(name not in shown for name in named)
    opened.press("reminder_hide")
    assert all(name in texts(opened.window.board.aside) for name in named)


def said_names(band: str) -> Sequence[str]:
    """The tasks that a reminder names."""
    return [part.split(" overdue")[0].split(" due")[0] for part in band.split("; ")[:2]]


def test_in_large_letters_the_tiles_are_as_high_as_what_they_tell_once_it_is_read(
    opener: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Board, "_state_of", lambda _board, _plate: FaceState((), ("not read yet",)))
    monkeypatch.setattr(Board, "_fit", lambda _board: None)
    opened = opener()
    opened.window.preferences.change(text_percent=200)
    opened.window.resize(1366, 768)
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    board = opened.window.board
    board.grab()
    monkeypatch.undo()
    board.refresh()
    opened.come_to_rest()
    for tile in tiles(opened):
        assert tile.height() >= tile.needed_height(tile.width()), tile.objectName()
