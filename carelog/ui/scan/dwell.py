"""Pressing by resting the pointer: for a hand that can point and not press.

A hand that shakes stays on what it points at: only leaving it begins anew. After a press nothing is pressed
until the pointer has gone further than a press may slide, so that a page that opens beneath it does nothing.
"""

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, QTimer
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QLineEdit,
    QPlainTextEdit,
    QScrollBar,
)

from carelog.ui.button import SLIDE
from carelog.ui.scan.ring import RingShape, ScanRing
from carelog.ui.scan.stop import Deed, Stop
from carelog.ui.window import Window

_TYPES = QEvent.Type
PRESSED = frozenset({_TYPES.MouseButtonPress, _TYPES.MouseButtonRelease})


class Dwell(QObject):
    """Made when somebody first switches it on."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._rest = 0
        self._target: Stop | None = None
        self._place = QPoint()
        self._pressed_at: QPoint | None = None
        self._ring = ScanRing(window.body)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._press)

    def follow(self, rest: int) -> None:
        """Press after so many ms of rest; 0: never."""
        app = QApplication.instance()
        if app is not None and bool(rest) != bool(self._rest):
            if rest:
                app.installEventFilter(self)
            else:
                app.removeEventFilter(self)
                self._leave()
        self._rest = rest

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        kind = event.type()
        if kind == _TYPES.MouseMove and isinstance(event, QMouseEvent):
            self._move(event.globalPosition().toPoint())
        elif kind in PRESSED:
            self._leave()
            self._pressed_at = self._place
        return super().eventFilter(watched, event)

    def _move(self, place: QPoint) -> None:
        self._place = place
        if self._pressed_at is not None:
            if (place - self._pressed_at).manhattanLength() <= SLIDE:
                return
            self._pressed_at = None
        target = target_at(place)
        if target == self._target or QApplication.activeModalWidget() is not None:
            return
        self._leave()
        if target is not None and target.widget.window() is self._window:
            self._target = target
            self._timer.start(self._rest)
            self._ring.show_around(self._area(target), RingShape.PRESS)

    def _area(self, target: Stop) -> QRect:
        """Where the ring lies."""
        if target.deed is not Deed.SCROLL:
            return target.place(self._window.body)
        bar = target.widget
        return QRect(bar.mapTo(self._window.body, QPoint(0, 0)), bar.size())

    def _leave(self) -> None:
        self._target = None
        self._timer.stop()
        self._ring.hide()

    def _press(self) -> None:
        target, place = self._target, self._place
        self._leave()
        if target is None or not target.is_there() or target_at(place) != target:
            return
        self._pressed_at = place
        if isinstance(target.widget, QScrollBar):
            self._pressed_at = None  # resting on goes on scrolling
            is_below = target.widget.mapFromGlobal(place).y() > target.widget.height() // 2
            actions = QScrollBar.SliderAction
            target.widget.triggerAction(actions.SliderPageStepAdd if is_below else actions.SliderPageStepSub)
        elif target.deed is Deed.TYPE:
            target.widget.setFocus()
        else:
            target.press()


def target_at(place: QPoint) -> Stop | None:
    """What a press at a place of the screen would go to; None: nothing that can be pressed."""
    widget = QApplication.widgetAt(place)
    while widget is not None:
        if isinstance(widget, QAbstractButton):
            return Stop(widget, Deed.PRESS) if widget.isEnabled() else None
        if isinstance(widget, QScrollBar):
            return Stop(widget, Deed.SCROLL)
        if isinstance(widget, QLineEdit | QPlainTextEdit):
            return Stop(widget, Deed.TYPE)
        if isinstance(widget, QAbstractItemView) and getattr(widget, "opens_rows", False):
            row = widget.indexAt(widget.viewport().mapFromGlobal(place)).row()
            return Stop(widget, Deed.ROW, row) if row >= 0 else None
        widget = widget.parentWidget()
    return None
