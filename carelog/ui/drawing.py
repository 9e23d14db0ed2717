"""Drawings of the analysis on the screen: the same parts as on paper, in the colours of day or night."""

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QFont, QPainter, QPaintEvent, QPalette, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from carelog.analysis.drawing import Anchor, Dot, Drawing, Fill, Label, Part, Rectangle, Straight
from carelog.analysis.pictures import Columns
from carelog.ui.palette import INK, LINE, SOFT, SURFACE
from carelog.ui.theme import Size, dress, is_dark

LETTERS = 2.2  # the least width of a day, in sizes of its letters
WIDEST = 5.0  # the same, above which days no longer grow
_STRIPES = {
    Fill.DOTS: Qt.BrushStyle.Dense6Pattern,
    Fill.LIGHT: Qt.BrushStyle.VerPattern,
    Fill.MIDDLE: Qt.BrushStyle.Dense4Pattern,
    Fill.DENSE: Qt.BrushStyle.Dense2Pattern,
}


class Drawn(QWidget):
    """A drawing of days side by side, as many as the width has room for; its words are its name."""

    def __init__(self, draw: Callable[[Columns], Drawing], most: int, name: str) -> None:
        """`draw` makes the drawing for some columns, at most `most`."""
        super().__init__()
        self._draw = draw
        self._most = most
        self._drawing: Drawing | None = None
        self._made_for: tuple[int, int] = (0, 0)
        self.setObjectName(name)
        dress(self, Size.LINE)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._fit(self.width())

    def sizeHint(self) -> QSize:
        return QSize(0, round(self._fit(self.width()).height) + 2)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit(event.size().width())

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for part in self._fit(self.width()).parts:
            paint(painter, part, self.palette(), self.font())

    def _fit(self, width: int) -> Drawing:
        size = self.font().pixelSize()
        if self._drawing is None or self._made_for != (width, size):
            least = LETTERS * size
            count = min(max(int(width / least), 1), self._most)
            wide = min(max(width / count, least), WIDEST * size)
            self._drawing, self._made_for = self._draw(Columns(count, wide, size)), (width, size)
            self.setAccessibleName(self._drawing.words)
            self.updateGeometry()
        return self._drawing


def paint(painter: QPainter, part: Part, colours: QPalette, face: QFont) -> None:
    """One part of a drawing, in the colours of a palette."""
    match part:
        case Straight():
            painter.setPen(_pen(colours, part.weight, part.dashed, is_soft=part.soft))
            painter.drawLine(QPointF(part.x1, part.y1), QPointF(part.x2, part.y2))
        case Rectangle():
            soft = is_dark()  # boxes are many: their outlines would light a dark room
            pen = _pen(colours, part.weight, part.dashed, is_soft=soft) if part.weight else Qt.PenStyle.NoPen
            painter.setPen(pen)
            painter.setBrush(_brush(colours, part.fill))
            painter.drawRect(QRectF(part.x, part.y, part.width, part.height))
        case Dot():
            painter.setPen(_pen(colours, part.weight))
            painter.setBrush(_brush(colours, part.fill))
            painter.drawEllipse(QPointF(part.x, part.y), part.radius, part.radius)
        case Label():
            _write(painter, part, colours, face)


def _write(painter: QPainter, label: Label, colours: QPalette, face: QFont) -> None:
    made = QFont(face)
    made.setPixelSize(round(label.size))
    made.setWeight(QFont.Weight.DemiBold if label.bold else QFont.Weight.Normal)
    painter.setFont(made)
    metrics = painter.fontMetrics()
    wide = metrics.horizontalAdvance(label.text)
    left = label.x - {Anchor.START: 0.0, Anchor.MIDDLE: wide / 2, Anchor.END: wide}[label.anchor]
    is_reversed = label.reversed and not is_dark()
    if label.reversed and is_dark():  # an area is too dim there to bear words: they stand in a gap of it
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colours.color(SURFACE))
        painter.drawRect(QRectF(left - 3, label.y - metrics.ascent(), wide + 6, metrics.height()))
    painter.setPen(colours.color(SURFACE if is_reversed else SOFT if label.soft else INK))
    painter.drawText(QPointF(left, label.y), label.text)


def _pen(colours: QPalette, weight: float, is_dashed: bool = False, *, is_soft: bool = False) -> QPen:
    style = Qt.PenStyle.DashLine if is_dashed else Qt.PenStyle.SolidLine
    return QPen(colours.color(LINE if is_dashed or is_soft else INK), max(weight, 1.0), style)


def _brush(colours: QPalette, fill: Fill) -> QBrush:
    if fill is Fill.NONE:
        return QBrush(Qt.BrushStyle.NoBrush)
    if fill is Fill.PAPER:
        return QBrush(colours.color(SURFACE))
    colour = colours.color(LINE if fill is Fill.DOTS or is_dark() else INK)  # areas shine most of all
    return QBrush(colour) if fill is Fill.INK else QBrush(colour, _STRIPES[fill])
