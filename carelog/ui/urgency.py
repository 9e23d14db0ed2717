"""How what is urgent is drawn: in reversed ink by day, as a thick outline at night."""

from PySide6.QtCore import QRect
from PySide6.QtGui import QPainter, QPalette

from carelog.ui.button import draw_box
from carelog.ui.palette import GROUND, INK
from carelog.ui.theme import is_dark

OUTLINE = 3  # px, of which draw_box leaves two at night: twice a button's


def urgent_ink() -> QPalette.ColorRole:
    """The colour of urgent words."""
    return INK if is_dark() else GROUND


def draw_urgent(painter: QPainter, place: QRect, colours: QPalette) -> None:
    """The area around urgent words; at night a filled block would light the room."""
    if is_dark():
        draw_box(painter, place, colours, INK, OUTLINE)
    else:
        painter.fillRect(place, colours.color(INK))
