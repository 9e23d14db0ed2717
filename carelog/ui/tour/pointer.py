"""A frame around what the tour speaks of; it takes no press and no focus, so nothing is ever in the way."""

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from carelog.ui.palette import INK
from carelog.ui.theme import CORNER

AROUND = 4  # px
WIDTH = 3  # px
MOVES = (QEvent.Type.Move, QEvent.Type.Resize, QEvent.Type.Show, QEvent.Type.Hide)


class Pointer(QWidget):
    """Dashed, so that it is never taken for the focus."""

    def __init__(self, body: QWidget) -> None:
        super().__init__(body)
        self._target: QWidget | None = None
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.hide()

    def point_at(self, target: QWidget | None) -> None:
        """Lie around this; None: nowhere."""
        if self._target is not target:
            if self._target is not None:
                self._target.removeEventFilter(self)
            self._target = target
            if target is not None:
                target.installEventFilter(self)
        self._follow()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in MOVES:
            self._follow()
        return super().eventFilter(watched, event)

    def _follow(self) -> None:
        body, target = self.parentWidget(), self._target
        if target is None or body is None or target.visibleRegion().isEmpty():
            self.hide()
            return
        area = QRect(target.mapTo(body, QPoint(0, 0)), target.size())
        self.setGeometry(area.adjusted(-AROUND, -AROUND, AROUND, AROUND).intersected(body.rect()))
        self.show()
        self.raise_()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(self.palette().color(INK), WIDTH, Qt.PenStyle.DashLine))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        half = WIDTH // 2 + 1
        painter.drawRoundedRect(self.rect().adjusted(half, half, -half, -half), CORNER, CORNER)
