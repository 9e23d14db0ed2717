"""Loads, in idle moments after the start, what the next presses would otherwise wait for."""

import importlib

from PySide6.QtCore import QObject, QTimer

from carelog.domain.moment import SECOND
from carelog.ui.present import Present
from carelog.ui.slips import Slips

PAUSE = 250  # ms between two of them: whatever a hand does meanwhile comes first
STILL = 3 * SECOND
"""So long after a press nothing is loaded: the next one may follow."""
MODULES = (
    "emergency.page",
    "forms.page",
    "timeline.page",
    "course.page",
    "flags.page",
    "kit.page",
    "plan.page",
    "sheet.page",
    "cards.page",
    "help.page",
    "board.more",
    "others",
    "due.page",
    "kit.power",
    "outing.page",
    "homecoming.page",
    "since.page",
    "visit.page",
    "people.page",
    "first.basics",
    "settings.page",
    "settings.copies",
    "typed.page",
)
"""In the order in which a hand could reach them: what is urgent, the rail from its top, the list."""


class Ahead(QObject):
    """One module after another, once the flags are read; a page that is opened sooner loads its own."""

    def __init__(self, present: Present, slips: Slips, parent: QObject) -> None:
        super().__init__(parent)
        self._present = present
        self._slips = slips
        self.left = list(MODULES)
        self._timer = QTimer(self)
        self._timer.setInterval(PAUSE)
        self._timer.timeout.connect(self._load_next)
        present.when_changed.append(self._begin)

    def _begin(self) -> None:
        if self._present.flags is not None and self.left and not self._timer.isActive():
            self._timer.start()

    def _load_next(self) -> None:
        if 0 <= self._present.now() - self._slips.pressed_at < STILL:
            return
        importlib.import_module(f"carelog.ui.{self.left.pop(0)}")
        if not self.left:
            self._timer.stop()
