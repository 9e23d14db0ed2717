"""A text whose trade words have dots beneath them: a press tells what they mean."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import (
    QFontMetricsF,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QTextLayout,
    QTextLine,
    QTextOption,
)
from PySide6.QtWidgets import QWidget

from carelog.ui.help.words import TermPlace, places
from carelog.ui.words import Words

DOTS = 1.5  # px, how thick
BENEATH = 2  # px below the letters' foot


class Explained(Words):
    """Words of the program's own, never what somebody typed."""

    _places: Sequence[TermPlace] = ()

    def say(self, text: str) -> None:
        super().say(text)
        self._places = places(self.text())
        if self._places:
            self.setCursor(Qt.CursorShape.PointingHandCursor)
        else:
            self.unsetCursor()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """The whole text is the target: a word alone would be too small to hit."""
        if self._places and self.rect().contains(event.position().toPoint()):
            tell_meaning(self)
        else:
            super().mouseReleaseEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if self._places:
            event.accept()
        else:
            super().mousePressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self._places:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(self.palette().color(self.foregroundRole()), DOTS, Qt.PenStyle.DotLine))
        for start, end in self.underlines():
            painter.drawLine(start, end)

    def underlines(self) -> list[tuple[QPointF, QPointF]]:
        """Where the dots lie, from the laying out that the text itself is drawn by."""
        area, made = self.contentsRect(), QTextLayout(self.text().replace("\n", "\u2028"), self.font())
        option = QTextOption(self.alignment())
        option.setWrapMode(QTextOption.WrapMode.WordWrap)
        option.setTextDirection(self.layoutDirection())
        made.setTextOption(option)
        made.beginLayout()
        height = 0.0
        while (line := made.createLine()).isValid():
            line.setLineWidth(area.width())
            line.setPosition(QPointF(0, height))
            height += line.height()
        made.endLayout()
        is_middle = bool(self.alignment() & Qt.AlignmentFlag.AlignVCenter)
        top = area.y() + ((area.height() - height) / 2 if is_middle else 0.0)
        foot = QFontMetricsF(self.font()).ascent() + BENEATH
        found = []
        for place in self._places:
            line = made.lineForTextPosition(place.start)
            last = min(place.start + place.length, line.textStart() + line.textLength())
            y = top + line.y() + foot
            left, right = (area.x() + _x(line, letter) for letter in (place.start, last))
            found.append((QPointF(left, y), QPointF(right, y)))
        return found


def _x(line: QTextLine, letter: int) -> float:
    """Where a letter begins; PySide6 gives the letter back beside it."""
    found = line.cursorToX(letter)
    assert isinstance(found, tuple)
    return float(found[0])


def tell_meaning(widget: QWidget) -> None:
    """Have the window tell what the words of a widget mean."""
    tell = getattr(widget.window(), "tell_meaning", None)
    if tell is not None:
        tell(widget)
