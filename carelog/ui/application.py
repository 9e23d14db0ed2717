"""Starts the window: the board is painted first, the record opened afterwards."""

import sys
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from carelog.ui.desk import Desk
from carelog.ui.parts import Parts
from carelog.ui.theme import Theme
from carelog.ui.window import Window

if TYPE_CHECKING:
    from carelog.ui.house import House


def run(parts: Parts) -> int:
    """Show the window until it is closed; the exit status."""
    app = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)
    window = build(parts, app)
    window.show()
    QTimer.singleShot(0, lambda: furnish(window))
    return app.exec()


def build(parts: Parts, app: QApplication) -> Window:
    """The window with its board, not shown yet, its record not opened."""
    return Window(Desk(parts), Theme(app))


def furnish(window: Window) -> "House":
    """After the first paint: the other pages' makers, and the record."""
    from carelog.ui.house import House

    house = House(window)
    window.board.tiles[0].setFocus()
    window.desk.open()
    return house
