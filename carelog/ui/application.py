"""Starts the window: the board is painted first, the record opened afterwards."""

import sys
import time
from typing import TYPE_CHECKING

from PySide6 import QtCore
from PySide6.QtWidgets import QApplication

from carelog.app.lock import Holder, WindowLock
from carelog.app.settings import SettingsFile
from carelog.text import is_right_to_left
from carelog.ui.computer import own_letters, this_computer
from carelog.ui.desk import Desk
from carelog.ui.parts import Parts
from carelog.ui.preferences import Preferences
from carelog.ui.theme import STYLE, Theme
from carelog.ui.window import Window

if TYPE_CHECKING:
    from carelog.ui.rest import Rest

LETS_GO = 0.001  # s
"""So soon a thread beside the window lets it go on where it waits, a fifth of what is usual."""


def run(parts: Parts) -> int:
    """Show the window until it is closed; the exit status. A second start shows the first window."""
    app = QApplication.instance() or QApplication([*sys.argv[:1], *STYLE])
    assert isinstance(app, QApplication)
    app.setApplicationName("carelog")
    lock = WindowLock(parts.places.lock(parts.record_path))
    holder = lock.take(parts.clock.now())
    if holder is not None and holder.is_here and _shown_elsewhere(parts):
        return 0
    window = build(parts, app)

    def painted() -> None:
        furnish(window, lock, holder)
        if parts.reckoning is not None:
            parts.reckoning.watch()  # which writes a file and waits for the disk

    window.once_painted(painted)
    window.show()
    try:
        return app.exec()
    finally:
        lock.release()


def _shown_elsewhere(parts: Parts) -> bool:
    from carelog.ui.only import ask_to_show

    return ask_to_show(parts.record_path)


def build(parts: Parts, app: QApplication) -> Window:
    """The window with its board, not shown yet, its record not opened."""
    sys.setswitchinterval(LETS_GO)
    if app.isRightToLeft() != is_right_to_left():
        directions = QtCore.Qt.LayoutDirection
        app.setLayoutDirection(directions.RightToLeft if is_right_to_left() else directions.LeftToRight)
    theme = Theme(app)
    here = time.localtime(parts.clock.now() / 1e6)  # finding the zone's name takes long
    begun = f"{here.tm_hour:02}:{here.tm_min:02}"
    preferences = Preferences(SettingsFile(parts.places.settings), theme, own_letters(), begun)
    return Window(Desk(parts), theme, preferences)


def furnish(window: Window, lock: WindowLock | None = None, holder: Holder | None = None) -> "Rest":
    """After the first paint: the other pages' makers, and the record."""
    import carelog.ui.board.choices
    import carelog.ui.board.said  # noqa: F401  (what the first press says)
    from carelog.ui.ahead import Ahead
    from carelog.ui.garbage import Garbage
    from carelog.ui.rest import Rest
    from carelog.ui.roles import name_headings

    window.preferences.meet(this_computer())
    Garbage(window.desk.present)
    desk = window.desk
    Ahead(desk.present, desk.slips, window, also=[desk.parts.sheets])
    name_headings()
    window.theme.load_the_rest()
    rest = Rest(window)
    window.board.tiles[0].setFocus()
    rest.door.lock = lock
    rest.sweep()
    if lock is not None and lock.warning:
        rest.guard.tell(lock.warning)
    if holder is None:
        rest.door.listen(window.desk.access.path)
        window.desk.access.open()
    else:
        rest.ask_over(holder, lock)
    return rest
