"""Loads, in idle moments after the start, what the next presses would otherwise wait for."""

import importlib
import time
from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication, QWidget

from carelog.domain.moment import SECOND
from carelog.ui.present import Present
from carelog.ui.reading import ACTIVE
from carelog.ui.slips import Slips

PAUSE = 250  # ms between two of them: whatever a hand does meanwhile comes first
STILL = 3  # s
"""So long after a key, a press or a turn of the wheel nothing is loaded: the next one may follow."""
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

    def __init__(
        self,
        present: Present,
        slips: Slips,
        window: QWidget,
        also: Sequence[Callable[[], object]] = (),
        now: Callable[[], float] = time.monotonic,
    ) -> None:
        """`also`: what else loads something, called after the pages; `now` is in s and only goes on."""
        super().__init__(window)
        self._window = window
        self._now = now
        self._touched_at = -float(STILL)
        self._present = present
        self._slips = slips
        self.left: list[Callable[[], object]] = [
            *(partial(importlib.import_module, f"carelog.ui.{name}") for name in MODULES),
            *also,
        ]
        self._timer = QTimer(self)
        self._timer.setInterval(PAUSE)
        self._timer.timeout.connect(self._load_next)
        present.when_changed.append(self._begin)

    def _begin(self) -> None:
        if self._present.flags is not None and self.left and not self._timer.isActive():
            self._timer.start()
            self._watch(is_watching=True)

    def _load_next(self) -> None:
        # A pointer that rests, or another program, presses a tile without a hand on this window.
        pressed = self._present.now() - self._slips.pressed_at
        is_touched = self._now() - self._touched_at < STILL or 0 <= pressed < STILL * SECOND
        if is_touched or QApplication.activeModalWidget() is not None:
            return
        self.left.pop(0)()
        if not self.left:
            self._timer.stop()
            self._watch(is_watching=False)

    def _watch(self, *, is_watching: bool) -> None:
        """See what a hand does, only while something is left to load.

        Asked is the window of the system: each key and press comes there once, and nothing else does that
        widgets tell one another.
        """
        handle = self._window.windowHandle()
        if handle is not None and is_watching:
            handle.installEventFilter(self)
        elif handle is not None:
            handle.removeEventFilter(self)

    def touch(self) -> None:
        """A hand does something just now."""
        self._touched_at = self._now()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in ACTIVE:
            self.touch()
        return super().eventFilter(watched, event)
