"""A drawing of our own of a tube: its plate from the front, the tube from the side, and what stands where."""

from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from carelog.text import mark, say
from carelog.ui.glyphs import SIDE, outline
from carelog.ui.palette import INK, LINE, SOFT, SURFACE
from carelog.ui.theme import Size, dress, font, percent_now

WIDTH = 320  # px at 100 %
LEAST = 200  # px at 100 %
STROKE = 1.6  # px


@dataclass(frozen=True, slots=True)
class LabelPlace:
    """Where a field's words stand, on the glyph's square of 28."""

    words: str
    x: float
    y: float


PLACES: Mapping[str, LabelPlace] = {
    "id_mm": LabelPlace(mark("ID, inside"), 7.2, 5.5),
    "od_mm": LabelPlace(mark("OD, outside"), 20.8, 5.5),
    "size_mark": LabelPlace(mark("on the flange"), 14, 11.2),
    "length_mm": LabelPlace(mark("length"), 21.6, 16.2),
    "cuff": LabelPlace(mark("cuff"), 23.2, 23.4),
    "inner_tube": LabelPlace(mark("inner tube"), 8.2, 25.2),
}
"""The places of what is asked for."""


class TubeLabel(QWidget):
    """The words of the field that is being filled in stand out, by a frame and their weight."""

    def __init__(self) -> None:
        super().__init__()
        self._at = ""
        self._followed: dict[QObject, str] = {}
        self.setAccessibleName(say("A tube and its plate, and where each of its sizes stands"))
        dress(self, Size.SMALL)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def follow(self, name: str, widget: QWidget) -> None:
        """Point to a field's place while this widget has the focus."""
        self._followed[widget] = name
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusIn:
            self._at = self._followed.get(watched, "")
            self.update()
        return super().eventFilter(watched, event)

    def sizeHint(self) -> QSize:
        side = WIDTH * percent_now() // 100
        return QSize(side, side)

    def minimumSizeHint(self) -> QSize:
        side = LEAST * percent_now() // 100
        return QSize(side, side)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        side = min(self.width(), self.height())
        scale = side / SIDE
        painter.translate((self.width() - side) / 2, (self.height() - side) / 2)
        painter.save()
        painter.scale(scale, scale)
        shapes = Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin
        painter.setPen(QPen(self.palette().color(LINE), STROKE / scale, *shapes))
        painter.drawPath(outline("tube_label"))
        painter.restore()
        for name, place in PLACES.items():
            self._write(painter, say(place.words), QPointF(place.x, place.y) * scale, is_at=name == self._at)

    def _write(self, painter: QPainter, words: str, middle: QPointF, *, is_at: bool) -> None:
        painter.setFont(font(Size.SMALL_STRONG if is_at else Size.SMALL, percent_now()))
        size = painter.fontMetrics().size(0, words)
        box = QRectF(0, 0, size.width() + 8, size.height())
        box.moveCenter(middle)
        painter.setPen(QPen(self.palette().color(INK), 2) if is_at else Qt.PenStyle.NoPen)
        painter.setBrush(self.palette().color(SURFACE) if is_at else Qt.BrushStyle.NoBrush)
        painter.drawRect(box)
        painter.setPen(self.palette().color(INK if is_at else SOFT))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)
