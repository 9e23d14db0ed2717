"""Pressing by resting the pointer: for a hand that can point and not press.

A hand that shakes stays on what it points at: only leaving it begins anew. After a press nothing is pressed
until the pointer has gone further than a press may slide, so that a page that opens beneath it does nothing.
"""

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, QTimer
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QAbstractButton, QApplication, QLineEdit, QPlainTextEdit, QScrollBar, QWidget
from shiboken6 import isValid

from carelog.ui.button import SLIDE
from carelog.ui.scan.ring import RingShape, ScanRing
from carelog.ui.window import Window

_TYPES = QEvent.Type
PRESSED = frozenset({_TYPES.MouseButtonPress, _TYPES.MouseButtonRelease})


class Dwell(QObject):
    """Made when somebody first switches it on."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._rest = 0
        self._target: QWidget | None = None
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
        target = target_of(QApplication.widgetAt(place))
        if target is self._target or QApplication.activeModalWidget() is not None:
            return
        self._leave()
        if target is not None and target.window() is self._window:
            self._target = target
            self._timer.start(self._rest)
            area = QRect(target.mapTo(self._window.body, QPoint(0, 0)), target.size())
            self._ring.show_around(area, RingShape.PRESS)

    def _leave(self) -> None:
        self._target = None
        self._timer.stop()
        self._ring.hide()

    def _press(self) -> None:
        target, place = self._target, self._place
        self._leave()
        if target is None or not isValid(target) or target_of(QApplication.widgetAt(place)) is not target:
            return
        self._pressed_at = place
        if isinstance(target, QAbstractButton):
            target.click()
        elif isinstance(target, QScrollBar):
            self._pressed_at = None  # resting on goes on scrolling
            is_below = target.mapFromGlobal(place).y() > target.height() // 2
            actions = QScrollBar.SliderAction
            target.triggerAction(actions.SliderPageStepAdd if is_below else actions.SliderPageStepSub)
        else:
            target.setFocus()


def target_of(widget: QWidget | None) -> QWidget | None:
    """What a press here would go to: a button, a field, a scroll bar; None: nothing."""
    while widget is not None:
        if isinstance(widget, QAbstractButton | QLineEdit | QPlainTextEdit | QScrollBar):
            return widget if widget.isEnabled() else None
        widget = widget.parentWidget()
    return None
