"""Fields to type into, tables and scrolled areas inside a frame that shows the focus as a 3 px ring."""

from functools import cached_property

from PySide6 import QtCore
from PySide6.QtCore import QEvent, QObject, QRect, QSize
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QFrame,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QScrollBar,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from carelog.ui.button import RING_WIDTH, draw_box, draw_ring, fill
from carelog.ui.palette import LINE, RING
from carelog.ui.theme import STEP, TARGET
from carelog.ui.words import Words

SCROLL_WIDTH = 18  # px


class Ringed(QWidget):
    """A frame around one widget."""

    def __init__(self, inner: QWidget, parent: QWidget | None = None, *, is_plain: bool = False) -> None:
        """`is_plain`: no outline unless the widget has the focus."""
        super().__init__(parent)
        self.inner = inner
        self._is_plain = is_plain
        layout = QVBoxLayout(self)
        layout.setContentsMargins(RING_WIDTH, RING_WIDTH, RING_WIDTH, RING_WIDTH)
        layout.addWidget(inner)
        inner.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            self.update()
        return super().eventFilter(watched, event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if not self._is_plain:
            draw_box(painter, self.rect(), self.palette(), LINE, 1)
        if self.inner.hasFocus():
            draw_ring(painter, self.rect(), self.palette())


class Line(QLineEdit):
    """One line to type into."""

    def __init__(self, name: str, label: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self.setAccessibleName(label)
        self.setFrame(False)
        self.setTextMargins(STEP, 0, STEP, 0)

    def sizeHint(self) -> QSize:
        return super().sizeHint().expandedTo(QSize(0, TARGET))

    def minimumSizeHint(self) -> QSize:
        """As high as its letters; a fixed height would cut large ones."""
        return super().minimumSizeHint().expandedTo(QSize(0, TARGET))


class Lines(QPlainTextEdit):
    """Several lines to type into; Tab leaves it."""

    def __init__(self, name: str, label: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self.setAccessibleName(label)
        self.setTabChangesFocus(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setMinimumHeight(2 * TARGET)
        self.setVerticalScrollBar(ScrollBar())
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def sizeHint(self) -> QSize:
        return QSize(320, max(2 * TARGET, 4 * self.fontMetrics().height()))


class Scrolled(QScrollArea):
    """A page's content, scrolled downwards only; it takes the focus so that keys can scroll it.

    A line of which less than its most would be seen at an edge is covered: half letters are read wrongly.
    """

    def __init__(
        self, content: QWidget, name: str, parent: QWidget | None = None, room: QSize | None = None
    ) -> None:
        """`name` is what it holds, in words, for whoever can't see it.

        `room`: how large it will be, where that is known: its content is laid out once then, and not before
        for a width that it never has.
        """
        super().__init__(parent)
        if room is not None:
            self.resize(room)
            content.resize(room)
        self.setAccessibleName(name)
        self.setVerticalScrollBar(ScrollBar())
        # One of ours: to find out what Qt's own is, PySide6 makes every class of QtWidgets, some 20 ms.
        self.setViewport(QWidget())
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidget(content)
        content.setAutoFillBackground(False)
        self._covered_for: object = None
        content.installEventFilter(self)

    @cached_property
    def _covers(self) -> "tuple[_Ground, _Ground]":
        return _Ground(self), _Ground(self)

    @cached_property
    def _ring(self) -> "_Ring":
        return _Ring(self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Scroll by keys alone: with another one held they mean something to the window."""
        held = QtCore.Qt.KeyboardModifier
        if event.modifiers() & (held.AltModifier | held.ControlModifier):
            event.ignore()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        reasons = QtCore.Qt.FocusReason
        by_tab = reasons.TabFocusReason, reasons.BacktabFocusReason
        self._ring.is_whole = event.reason() in by_tab
        self._ring.show_around()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._ring.hide()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self.hasFocus():
            self._ring.show_around()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self._covered_for = None
        elif event.type() == QEvent.Type.Paint:
            self._cover_slivers()
        return super().eventFilter(watched, event)

    def _cover_slivers(self) -> None:
        content = self.widget()
        start = self.verticalScrollBar().value()
        if content is None or self._covered_for == (start, self.viewport().size(), content.size()):
            return
        self._covered_for = (start, self.viewport().size(), content.size())
        end = start + self.viewport().height()
        spans = [
            _text_span(widget, content)
            for kind in (QLabel, QAbstractButton, QLineEdit)
            for widget in content.findChildren(kind)
            if widget.isVisible()
        ]
        above = max((last - start for _first, last, least in spans if 0 < last - start < least), default=0)
        stop = end
        while cut := max((stop - top for top, _last, least in spans if 0 < stop - top < least), default=0):
            stop -= cut
        if above or stop < end or "_covers" in vars(self):
            width = self.viewport().width()
            self._covers[0].place(QRect(0, 0, width, above))
            self._covers[1].place(QRect(0, stop - start, width, end - stop))


class ScrollBar(QScrollBar):
    """Wide enough to be hit by a shaking hand."""

    def sizeHint(self) -> QSize:
        return super().sizeHint().expandedTo(QSize(SCROLL_WIDTH, 0))


class _Ring(QWidget):
    """The ring around a scrolled area that has the focus; a bar at its side where a page was just opened."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.is_whole = False
        self.setAttribute(QtCore.Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def show_around(self) -> None:
        """Lie over the whole area."""
        parent = self.parentWidget()
        if parent is not None:
            self.setGeometry(parent.rect())
            self.show()
            self.raise_()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        if not self.is_whole:
            left = self.width() - RING_WIDTH if self.isRightToLeft() else 0
            fill(painter, QRect(left, 0, RING_WIDTH, self.height()), self.palette().brush(RING))
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw_ring(painter, self.rect(), self.palette())


class _Ground(QWidget):
    """A piece of the ground's colour over the edge of a scrolled area."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAutoFillBackground(True)
        self.setAttribute(QtCore.Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def place(self, area: QRect) -> None:
        """Lie there; an empty area is nowhere."""
        if area.isEmpty():
            self.hide()
        elif area != self.geometry() or self.isHidden():
            self.setGeometry(area)
            self.show()
            self.raise_()


def _text_span(widget: QWidget, content: QWidget) -> tuple[int, int, int]:
    """Where a widget's text begins and ends, and how much of it must be seen to be read."""
    top = widget.mapTo(content, widget.rect().topLeft()).y()
    line = widget.fontMetrics().height()
    if isinstance(widget, QLineEdit):
        return top + 3, top + widget.height() - 3, widget.height() // 2 + line // 4
    text = line
    if isinstance(widget, QLabel):
        is_high = isinstance(widget, Words) and not widget.is_in_the_middle
        text = widget.height() if is_high else max(widget.heightForWidth(widget.width()), line)
    first = top + max((widget.height() - text) // 2 - 2, 0)
    return first, first + text + 4, line * 7 // 10 + 2
