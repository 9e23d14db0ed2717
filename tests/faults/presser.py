"""The real window, pressed and typed into by itself; tells what it shows as saved, and what was typed.

usage: python -m tests.faults.presser FILE [--forgetful]
With `--forgetful`, the control, it never writes what was typed.
"""

import sys
import time
from itertools import count, cycle
from typing import Any

from PySide6.QtCore import QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPlainTextEdit, QPushButton

from carelog.main import main
from carelog.ui.access import Stage
from carelog.ui.forms.keeper import Keeper
from carelog.ui.slip import State
from carelog.ui.window import Window

TILES = ("tile_suction", "tile_ties", "tile_mouth_care", "tile_inner_tube_cleaned", "tile_humidity")
EVERY_MS = 120
TYPED_EACH = 6  # so many presses, then as many letters into a note


class Hand:
    """Presses one tile after another, and types a note now and then."""

    def __init__(self) -> None:
        self._told: set[str] = set()
        self._steps = count()
        self._tiles: Any = None

    def step(self) -> None:
        """One press or one letter."""
        found = [each for each in QApplication.topLevelWidgets() if isinstance(each, Window)]
        if not found or found[0].desk.access.stage is not Stage.OPEN:
            return
        window = found[0]
        for slip in window.desk.slips.all:
            if slip.state is State.SAVED and slip.entry.id not in self._told:
                self._told.add(slip.entry.id)
                print("saved", slip.entry.id, flush=True)
        if next(self._steps) // TYPED_EACH % 3 < 2:
            self._press(window)
        else:
            self._type(window)

    def _press(self, window: Window) -> None:
        if window.page() != "board":
            _button(window, "go_board").click()
            return
        if self._tiles is None:
            names = [each.objectName() for each in window.board.tiles]
            self._tiles = cycle([name for name in TILES if name in names])
        _button(window, next(self._tiles)).click()

    def _type(self, window: Window) -> None:
        field = next((w for w in window.findChildren(QPlainTextEdit, "field_note") if w.isVisible()), None)
        if field is None:
            go_on = next((w for w in window.findChildren(QPushButton, "draft_go_on") if w.isVisible()), None)
            (go_on or _button(window, "tile_note")).click()
            return
        field.setFocus()
        QTest.keyClicks(field, "n")
        print("typed", time.monotonic(), len(field.toPlainText()), flush=True)


def _button(window: Window, name: str) -> QPushButton:
    found = window.findChild(QPushButton, name)
    assert found is not None, name
    return found


if __name__ == "__main__":
    if "--forgetful" in sys.argv[2:]:
        Keeper.write = lambda _keeper: None  # type: ignore[method-assign, assignment]
    app = QApplication(sys.argv[:1])
    hand, timer = Hand(), QTimer()
    timer.timeout.connect(hand.step)
    timer.start(EVERY_MS)
    sys.exit(main(["--record", sys.argv[1]]))
