"""How far the questions are, as a row of squares; the words beside it say the same."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QRect, QSize
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from carelog.ui.button import fill
from carelog.ui.palette import INK, LINE
from carelog.ui.theme import LARGE, percent_now

SQUARE = 14  # px at 100 %
GAP = 6


class Track(QWidget):
    """A step whose answers are recorded is filled, the one that is shown is framed; in large print: none."""

    def __init__(self, step: int, done: Sequence[bool]) -> None:
        """`step`: from 1."""
        super().__init__()
        self._step = step
        self._done = done
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setHidden(percent_now() >= LARGE)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.setHidden(percent_now() >= LARGE)

    def _side(self) -> int:
        return SQUARE * percent_now() // 100

    def sizeHint(self) -> QSize:
        side = self._side()
        return QSize(len(self._done) * (side + GAP) + GAP, side + GAP + 4)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        side, top = self._side(), (self.height() - self._side()) // 2
        for number, is_done in enumerate(self._done, start=1):
            left = GAP // 2 + (number - 1) * (side + GAP)
            area = QRect(left, top, side, side)
            is_here = number == self._step
            painter.setBrush(self.palette().color(self.backgroundRole()))
            painter.setPen(QPen(self.palette().color(INK if is_here else LINE), 3 if is_here else 1))
            painter.drawRect(area)
            if is_done:
                fill(painter, area.adjusted(3, 3, -2, -2), self.palette().brush(INK))
