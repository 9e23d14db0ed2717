"""Waits until a hand rests: what each key asks for is done once, after the last of them."""

from collections.abc import Callable

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget


def pause(parent: QWidget, milliseconds: int, then: Callable[[], None]) -> QTimer:
    """A timer that calls this once, so long after it was started last."""
    made = QTimer(parent)
    made.setSingleShot(True)
    made.setInterval(milliseconds)
    made.timeout.connect(then)
    return made
