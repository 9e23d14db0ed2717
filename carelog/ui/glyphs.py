"""Glyphs: line drawings of our own from resources/glyphs, drawn in the palette's ink at any size.

The files use a small part of SVG: `path` with M L H V C Z, `circle`, and `rect` with round corners. They are
read here and not by QtSvg, whose library and reader of XML would make the first paint later.
"""

import re
from collections.abc import Iterator
from functools import cache

from PySide6 import QtCore
from PySide6.QtCore import QByteArray, QDataStream, QPointF, QRect, QRectF, QSize
from PySide6.QtGui import QBrush, QPainter, QPainterPath, QPaintEvent, QPalette, QPen, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

from carelog import resources
from carelog.ui.numbers import PEN, PEN_FORM
from carelog.ui.palette import INK
from carelog.ui.theme import percent_now

SIDE = 28  # of the square that each file is drawn on, and px at 100 %
STROKE = 1.8
ANY = "entry"
"""What stands for a kind that this version doesn't know."""
_ELEMENT = re.compile(r"<(path|circle|rect)\s([^>]*)/>")
_ATTRIBUTE = re.compile(r'([\w-]+)="([^"]*)"')
_STEP = re.compile(r"([MLHVCZ])([^MLHVCZ]*)")


@cache
def outline(name: str) -> QPainterPath:
    """The lines of a glyph on its square of 28; those of `ANY` where there is none of that name."""
    if name != ANY and name not in _names():
        return outline(ANY)
    text = resources.find(f"glyphs/{name}.svg").read_text(encoding="utf-8")
    made = QPainterPath()
    for element, attributes in _ELEMENT.findall(text):
        given = dict(_ATTRIBUTE.findall(attributes))
        if element == "path":
            _trace(made, given["d"])
        elif element == "circle":
            radius = float(given["r"])
            made.addEllipse(QPointF(float(given["cx"]), float(given["cy"])), radius, radius)
        else:
            sides = (float(given[each]) for each in ("x", "y", "width", "height"))
            corner = float(given.get("rx", 0))
            made.addRoundedRect(QRectF(*sides), corner, corner)
    return made


@cache
def _names() -> frozenset[str]:
    """The glyphs there are: what another program calls a kind may be no name of a file, or lead elsewhere."""
    return frozenset(each.stem for each in resources.find("glyphs").iterdir())


def _trace(made: QPainterPath, steps: str) -> None:
    for letter, numbers in _STEP.findall(steps):
        values = [float(each) for each in numbers.split()]
        here = made.currentPosition()
        if letter == "Z":
            made.closeSubpath()
        elif letter == "M":
            made.moveTo(*values)
        elif letter == "C":
            made.cubicTo(*(QPointF(x, y) for x, y in _pairs(values)))
        else:
            x = here.x() if letter == "V" else values[0]
            y = here.y() if letter == "H" else values[-1]
            made.lineTo(x, y)


def _pairs(values: list[float]) -> Iterator[tuple[float, float]]:
    return zip(values[::2], values[1::2], strict=True)


def draw_glyph(painter: QPainter, name: str, area: QRect, ink: QBrush) -> None:
    """Draw a glyph as large as fits in the middle of an area."""
    side = min(area.width(), area.height())
    scale = side / SIDE
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(area.x() + (area.width() - side) / 2, area.y() + (area.height() - side) / 2)
    painter.scale(scale, scale)
    pen = round_pen()
    pen.setBrush(ink)
    painter.strokePath(outline(name), pen)
    painter.restore()


@cache
def round_pen() -> QPen:
    """A pen with round ends and corners."""
    made, stream = QPen(), QDataStream(QByteArray(PEN))
    stream.setVersion(PEN_FORM)
    stream >> made
    made.setWidthF(STROKE)
    return made


def glyph_picture(name: str, side: int, ink: QBrush, ratio: float = 1.0) -> QPixmap:
    """A glyph as a picture of so many px, for a row of a table; `ratio`: device pixels in one px."""
    made = QPixmap(QSize(side, side) * ratio)
    made.setDevicePixelRatio(ratio)
    made.fill(QtCore.Qt.GlobalColor.transparent)
    painter = QPainter(made)
    draw_glyph(painter, name, QRect(0, 0, side, side), ink)
    painter.end()
    return made


class Glyph(QWidget):
    """A glyph beside words that say the same: it grows with the text, and no assistive tool is told of it."""

    def __init__(
        self, name: str, side: int = SIDE, role: QPalette.ColorRole = INK, parent: QWidget | None = None
    ) -> None:
        """`side`: px at 100 %."""
        super().__init__(parent)
        self.name = name
        self.setForegroundRole(role)
        self._side = side
        self.setAttribute(QtCore.Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        side = self._side * percent_now() // 100
        return QSize(side, side)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        ink = self.palette().brush(QPalette.ColorGroup.Normal, self.foregroundRole())
        draw_glyph(painter, self.name, self.rect(), ink)
