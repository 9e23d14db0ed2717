"""The window with the real parts that the program gives it."""

import io
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from carelog.app.clock import SystemClock, new_ids
from carelog.commands.surroundings import Surroundings
from carelog.commands.window import parts
from carelog.paths import Places
from carelog.store.opening import open_record
from carelog.ui.application import build, furnish
from carelog.ui.rest import Rest
from carelog.ui.window import Window
from tests.journeys.household import carelog

LONG = 120_000  # milliseconds


@pytest.fixture
def record(tmp_path: Path) -> Path:
    record = tmp_path / "data" / "record.carelog"
    record.parent.mkdir()
    words = ["person", "name=Odette Farrow", "home_zone=Europe/London", "--by", "LR"]
    assert carelog("add", "--record", str(record), *words).status == 0
    return record


@pytest.fixture
def opened(record: Path, tmp_path: Path, qtbot: QtBot) -> Iterator[tuple[Window, Rest]]:
    around = Surroundings(
        places=Places(tmp_path / "data", tmp_path / "config", tmp_path / "state"),
        clock=SystemClock(),
        ids=new_ids,
        answers=io.StringIO(),
        errors=io.StringIO(),
        lines=io.BytesIO,
        environment={},
    )
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    window = build(parts(record, around), app)
    qtbot.addWidget(window)
    window.show()
    house = furnish(window)
    qtbot.waitUntil(window.desk.access.is_open, timeout=LONG)
    yield window, house
    window.close()


def kinds(record: Path) -> list[str]:
    """The kinds of the record's entries, in the order of recording."""
    there = open_record(record, installation="test")
    found = [entry.kind for entry in there.everything()]
    there.close()
    return found


def test_a_press_is_in_the_file(opened: tuple[Window, Rest], record: Path, qtbot: QtBot) -> None:
    window, _ = opened
    assert window.desk.recorder.who == "LR"
    tile = (
        window.findChild(QPushButton, "tile_suction") or window.findChildren(QPushButton, "tile_suction")[0]
    )
    tile.click()
    qtbot.waitUntil(lambda: kinds(record) == ["person", "suction"], timeout=LONG)


def test_what_a_command_writes_beside_it_is_shown(
    opened: tuple[Window, Rest], record: Path, qtbot: QtBot
) -> None:
    window, _ = opened
    assert carelog("add", "--record", str(record), "suction", "blood=fresh").status == 0
    window.desk.present.look()

    def is_flagged() -> bool:
        return "blood" in [flag.rule for flag in window.desk.present.flags or ()]

    qtbot.waitUntil(is_flagged, timeout=LONG)


def test_a_copy_is_made_and_tried_out(opened: tuple[Window, Rest], tmp_path: Path, qtbot: QtBot) -> None:
    window, house = opened
    house.copies.make()
    qtbot.waitUntil(lambda: bool(house.copies.newest), timeout=LONG)
    qtbot.waitUntil(lambda: "readable" in window.preferences.now.drilled, timeout=LONG)
    made = {each.suffix for each in (tmp_path / "data" / "backups").iterdir()}
    assert made == {".carelog"}  # the window may have made the day's own copy beside the one asked for


def test_closing_keeps_a_copy_and_nothing_beside_the_record(
    opened: tuple[Window, Rest], record: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    window, _ = opened
    qtbot.waitUntil(lambda: window.desk.present.flags is not None, timeout=LONG)
    window.close()
    assert not list(record.parent.glob("*.flags"))
    assert list((tmp_path / "data" / "backups").iterdir())
