"""Where the window opens, and what its viewer's folder keeps."""

import os
import time
from pathlib import Path

import pytest
from PySide6.QtGui import QGuiApplication

from carelog.app.settings import WindowPlace
from carelog.ui.sheet.viewer import A_DAY, FOLDER, empty
from tests.ui.conftest import Opened


@pytest.mark.parametrize(
    "place",
    [
        WindowPlace(-5000, -5000, 700, 500),
        WindowPlace(10**12, 10**30, 700, 500),
        WindowPlace(10, 10, -(10**9), 10**15),
        WindowPlace(10, 10, 0, 0),
    ],
)
def test_a_place_out_of_range_opens_in_the_middle(opened: Opened, place: WindowPlace) -> None:
    window = opened.window
    window.preferences.now = window.preferences.now._replace(window=place)
    window._place()
    screen = QGuiApplication.screens()[0].availableGeometry()
    assert screen.contains(window.geometry().center())
    if 0 < place.width < 1000:
        assert window.geometry().center() == screen.center()


def test_a_place_on_the_screen_is_taken_as_it_was(opened: Opened) -> None:
    """The control."""
    window = opened.window
    window.preferences.now = window.preferences.now._replace(window=WindowPlace(5, 7, 600, 420))
    window._place()
    assert (window.geometry().x(), window.geometry().y()) == (5, 7)


def test_what_a_viewer_may_have_open_stays_and_what_is_old_goes(tmp_path: Path) -> None:
    folder = tmp_path / FOLDER
    folder.mkdir()
    old, new = folder / "old.pdf", folder / "new.pdf"
    for file in (old, new):
        file.touch()
    os.utime(old, (time.time() - A_DAY - 60,) * 2)
    empty(tmp_path)
    assert list(folder.iterdir()) == [new]
