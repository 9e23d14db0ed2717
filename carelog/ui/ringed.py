"""Fields to type into, tables and scrolled areas inside a frame that shows the focus as a 3 px ring."""

from PySide6.QtCore import QEvent, QObject, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QFrame,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from carelog.ui.button import RING_WIDTH, draw_box, draw_ring
from carelog.ui.palette import LINE
from carelog.ui.theme import STEP, TARGET


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
        self.setMinimumHeight(TARGET)


class Lines(QPlainTextEdit):
    """Several lines to type into; Tab leaves it."""

    def __init__(self, name: str, label: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self.setAccessibleName(label)
        self.setTabChangesFocus(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setMinimumHeight(2 * TARGET)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def sizeHint(self) -> QSize:
        return QSize(320, max(2 * TARGET, 4 * self.fontMetrics().height()))


class Scrolled(QScrollArea):
    """A page's content, scrolled downwards only; it takes the focus so that keys can scroll it."""

    def __init__(self, content: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidget(content)
        fill_with_ground(self)


def fill_with_ground(area: QAbstractScrollArea) -> None:
    """Let the ground show through a scrolled area."""
    area.viewport().setAutoFillBackground(False)
    content = area.widget() if isinstance(area, QScrollArea) else None
    if content is not None:
        content.setAutoFillBackground(False)
