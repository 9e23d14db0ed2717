"""A part of the kit's page: a surface with a heading, and what stands on it one under another."""

from enum import Enum

from PySide6.QtCore import QEvent, QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from carelog.text import mark, say
from carelog.ui.button import draw_box, fill
from carelog.ui.column import row
from carelog.ui.palette import INK, LINE
from carelog.ui.theme import STEP, Size, is_dark, percent_now
from carelog.ui.words import Words

SIDE = 15  # px at 100 %, of a row's shape
BAR = 14  # px, the height of a bar


class Panel(QWidget):
    """By day an outlined surface; at night fewer lines shine."""

    def __init__(self, heading: str, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self._layout = QVBoxLayout(self)
        self._set_edge()
        self._layout.setSpacing(STEP)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        if heading:
            self._layout.addWidget(Words(heading, Size.NAME, heading=True))

    def words(self, text: str, size: Size = Size.TEXT, *, soft: bool = False) -> Words:
        """A line of text on it."""
        made = Words(text, size, soft=soft)
        self._layout.addWidget(made)
        return made

    def add(self, widget: QWidget) -> None:
        """Anything over its whole width."""
        self._layout.addWidget(widget)

    def row(self, *widgets: QWidget) -> None:
        """Buttons side by side."""
        self._layout.addWidget(row(*widgets))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._set_edge()

    def _set_edge(self) -> None:
        """At night there is no box, and its words stand in line with the page's title."""
        side = 0 if is_dark() else 2 * STEP
        self._layout.setContentsMargins(side, STEP, side, 2 * STEP)

    def paintEvent(self, _event: QPaintEvent) -> None:
        if is_dark():
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw_box(painter, self.rect(), self.palette(), LINE, 1)


class Sight(Enum):
    """How a thing was found: there, not looked at, or wanting."""

    THERE = "there"
    UNSEEN = "unseen"
    WANTING = "wanting"


SPOKEN = {
    Sight.THERE: mark("looked at"),
    Sight.UNSEEN: mark("not looked at"),
    Sight.WANTING: mark("wanting"),
}
"""What each shape says, for whoever can't see it."""


class SightSign(QWidget):
    """A drawn tick, a dotted square for what wasn't looked at, a filled one for what is wanting."""

    def __init__(self, state: Sight) -> None:
        super().__init__()
        self.state = state
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)

    def sizeHint(self) -> QSize:
        side = SIDE * percent_now() // 100
        return QSize(side + STEP, side)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours, ink = self.palette(), self.palette().color(INK)
        side = SIDE * percent_now() // 100
        place = QRect(0, (self.fontMetrics().lineSpacing() - side) // 2 + 2, side - 2, side - 2)
        if self.state is Sight.WANTING:
            fill(painter, place, colours.brush(INK))
        elif self.state is Sight.UNSEEN:
            painter.setPen(QPen(ink, 1.5, Qt.PenStyle.DotLine))
            painter.drawRect(place)
        else:
            painter.setPen(QPen(ink, 2.4))
            low = place.bottom() - 2
            painter.drawLine(place.left(), place.center().y(), place.left() + side // 3, low)
            painter.drawLine(place.left() + side // 3, low, place.right(), place.top())


def told_row(name: str, told: str, *, is_strong: bool = False, spoken: str = "") -> QWidget:
    """What it is, and at the end what is said of it; `spoken` is what a screen reader says first."""
    made = QWidget()
    line = QHBoxLayout(made)
    line.setContentsMargins(0, 0, 0, 0)
    line.setSpacing(STEP)
    first = Words(name)
    first.setAccessibleName(spoken or name)
    line.addWidget(first, 3)
    if told:
        end = Words(told, Size.STRONG if is_strong else Size.TEXT, soft=not is_strong)
        end.setAlignment(Qt.AlignmentFlag.AlignTrailing | Qt.AlignmentFlag.AlignVCenter)
        line.addWidget(end, 2)
    return made


def beside(wide: QWidget, button: QWidget) -> QWidget:
    """Something that takes the width, with a button at its end."""
    made = QWidget()
    line = QHBoxLayout(made)
    line.setContentsMargins(0, 0, 0, 0)
    line.setSpacing(STEP)
    line.addWidget(wide, 1)
    line.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
    return made


class FoundRow(QWidget):
    """A row of a list: its shape, what it is, and at the end what is said of it."""

    def __init__(self, state: Sight, name: str, told: str = "", *, is_strong: bool = False) -> None:
        super().__init__()
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(STEP)
        line.addWidget(SightSign(state))
        spoken = f"{name}, {say(SPOKEN[state])}"
        line.addWidget(told_row(name, told, is_strong=is_strong, spoken=spoken), 1)


class ShareBar(QWidget):
    """A bar from nothing to a whole, with a stroke across it where something is to be done; words tell it."""

    def __init__(
        self, share: float, words: str, *, at: float | None = None, is_full_ink: bool = False
    ) -> None:
        """`share` and `at`: of the whole, 0 to 1; `is_full_ink`: it is past what was to be done."""
        super().__init__()
        self._share, self._at = min(max(share, 0.0), 1.0), at
        self._is_full_ink = is_full_ink
        self.setAccessibleName(words)
        self.setFixedHeight(BAR + 6)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        if self.isRightToLeft():
            painter.translate(self.width(), 0)
            painter.scale(-1, 1)
        colours = self.palette()
        whole = QRect(0, 3, self.width() - 1, BAR)
        part = QRect(0, 3, round(whole.width() * self._share), BAR)
        if is_dark():  # outlines shine less than areas
            painter.setPen(QPen(colours.color(LINE), 1))
            painter.drawRect(whole)
            painter.drawRect(part.adjusted(2, 2, -2, -2))
        else:
            fill(painter, part, colours.brush(INK if self._is_full_ink else LINE))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(colours.color(LINE), 1))
            painter.drawRect(whole)
        if self._at is not None and 0 <= self._at <= 1:
            x = round(whole.width() * self._at)
            fill(painter, QRect(x - 1, 0, 3, BAR + 6), colours.brush(INK))
