"""What stands on the tiles is painted from a file; it is what the kinds declare, and keeps no tile away."""

import json
from pathlib import Path

import pytest

from carelog import resources
from carelog.ui.application import furnish
from carelog.ui.board import order, plates
from carelog.ui.window import Window
from tests.ui.conftest import Opened, Opener


def test_the_file_holds_what_the_kinds_declare() -> None:
    """`python3 packaging/catalogue.py` writes it anew."""
    made = plates.written(placed.plate for placed in order.every_tile())
    assert resources.find(plates.FILE).read_text(encoding="utf-8") == made


@pytest.mark.parametrize("chosen", [(), ("note", "stoma", "suction"), ("suction", "of another version")])
def test_the_board_has_the_same_tiles_by_the_file_as_by_the_kinds(chosen: tuple[str, ...]) -> None:
    assert plates.on_board(chosen) == [placed.plate for placed in order.on_board(chosen)]


@pytest.mark.parametrize("held", [None, "", "[]", "{}", "[[1]]", json.dumps([["suction", "suction"]])])
def test_a_file_that_cannot_be_used_keeps_no_tile_away(
    held: str | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    usual = plates.on_board(())
    if held is not None:
        (tmp_path / plates.FILE).write_text(held, encoding="utf-8")
    monkeypatch.setattr(resources, "folder", lambda: tmp_path)
    assert plates.on_board(()) == usual


def test_a_tile_that_the_file_does_not_know_yet_is_on_the_board_that_chose_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    known = [placed.plate for placed in order.every_tile() if placed.name != "note"]
    (tmp_path / plates.FILE).write_text(plates.written(known), encoding="utf-8")
    monkeypatch.setattr(resources, "folder", lambda: tmp_path)
    assert [plate.name for plate in plates.on_board(("note", "suction"))] == ["note", "suction"]


def test_each_tile_records_what_stands_on_it(opened: Opened) -> None:
    for plate in opened.window.board.placed:
        placed = order.tile_named(plate.name)
        assert (placed.kind.name, placed.tile.words) == (plate.kind, plate.words)
        assert plate.is_at_once is (placed.tile.records is not None)


def test_a_press_on_a_tile_that_the_kinds_do_not_have_says_so_and_records_nothing(
    opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The program's files were exchanged under a window that was open already."""
    board, before = opened.window.board, len(opened.record.entries)
    with monkeypatch.context() as exchanged:
        exchanged.setattr(order, "every_tile", lambda: iter(()))
        board.press(board.placed[0], None)
    assert "no longer knows this tile" in opened.rest.fault.words()
    opened.pause()
    board.press(board.placed[0], None)  # the control
    opened.wait(lambda: len(opened.record.entries) == before + 1)


def test_what_such_a_press_says_before_all_of_the_window_is_there_is_shown_then(
    opener: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    def pressed(window: Window) -> object:
        with monkeypatch.context() as exchanged:
            exchanged.setattr(order, "every_tile", lambda: iter(()))
            window.board.press(window.board.placed[0], None)
        return furnish(window)

    monkeypatch.setattr("tests.ui.conftest.furnish", pressed)
    opened = opener()
    assert "no longer knows this tile" in opened.rest.fault.words()
    assert opened.rest.fault.isVisible()
