"""The scan's ring: 6 px, over everything; its shape tells whether a press acts, goes in or leads out."""

from enum import Enum

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from carelog.ui.palette import GROUND, RING
from carelog.ui.theme import CORNER

WIDTH = 6  # px
GAP = 2  # px of the ground on both sides of it
ARM = 48  # px, the arms of a group's corners at the most
ARROW = 16  # px
EDGE = WIDTH + 2 * GAP


class RingShape(Enum):
    """What the switch would do."""

    PRESS = "press"
    """A closed line with an arrow head at each side."""
    GROUP = "group"
    """Four corners."""
    OUT = "out"
    """Dashes."""


class ScanRing(QWidget):
    """Lies over the window and takes no press."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("scan_ring")
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.shape = RingShape.PRESS
        self.hide()

    def show_around(self, place: QRect, shape: RingShape) -> None:
        """Lie around this place of the window."""
        window = self.parentWidget()
        if window is None or place.isEmpty():
            self.hide()
            return
        self.shape = shape
        side = ARROW if shape is RingShape.PRESS else 0
        around = place.adjusted(-EDGE - side, -EDGE, EDGE + side, EDGE)
        self.setGeometry(around.intersected(window.rect()))
        self.show()
        self.raise_()
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours = self.palette()
        draw_scan_ring(painter, self.rect(), self.shape, QPen(colours.color(GROUND), WIDTH + 2 * GAP))
        draw_scan_ring(painter, self.rect(), self.shape, QPen(colours.color(RING), WIDTH))


def draw_scan_ring(painter: QPainter, area: QRect, shape: RingShape, pen: QPen) -> None:
    """The ring of a shape in an area."""
    side = ARROW if shape is RingShape.PRESS else 0
    half = WIDTH / 2 + GAP
    line = QRectF(area).adjusted(half + side, half, -half - side, -half)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if shape is RingShape.OUT:
        pen.setDashPattern([3, 2])
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if shape is RingShape.GROUP:
        for corner in _corners(line):
            painter.drawPolyline(corner)
        return
    painter.drawRoundedRect(line, CORNER, CORNER)
    if shape is RingShape.PRESS:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(pen.color())
        for tip in _arrows(line):
            painter.drawPolygon(tip)


def _corners(line: QRectF) -> list[QPolygonF]:
    """Four angles at the corners."""
    across = min(ARM, line.width() / 3)
    down = min(ARM, line.height() / 3)
    found = []
    for x, right in ((line.left(), 1), (line.right(), -1)):
        for y, below in ((line.top(), 1), (line.bottom(), -1)):
            points = [QPointF(x + right * across, y), QPointF(x, y), QPointF(x, y + below * down)]
            found.append(QPolygonF(points))
    return found


def _arrows(line: QRectF) -> list[QPolygonF]:
    """A head at each side that points at what is pressed."""
    middle = line.center().y()
    found = []
    for x, out in ((line.left(), -1), (line.right(), 1)):
        points = [
            QPointF(x, middle),
            QPointF(x + out * ARROW, middle - ARROW),
            QPointF(x + out * ARROW, middle + ARROW),
        ]
        found.append(QPolygonF(points))
    return found
