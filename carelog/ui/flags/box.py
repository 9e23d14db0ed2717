"""A flag's box: its level is told by words, shape and place, never by colour."""

from PySide6.QtCore import QEvent, QRect
from PySide6.QtGui import QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from carelog.domain.flag import Level
from carelog.ui.button import draw_box
from carelog.ui.palette import INK
from carelog.ui.theme import Size, is_dark
from carelog.ui.urgency import draw_urgent, urgent_ink
from carelog.ui.words import Words

BAR = 8  # px


class FlagBox(QWidget):
    """The frame of a flag: urgent in reversed ink, call with a bar at its left, note after a small ring."""

    def __init__(self, level: Level, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.level = level
        self._layout = QVBoxLayout(self)
        left = 24 if level is Level.NOTE else BAR + 10
        self._layout.setContentsMargins(left, 6, 10, 6)
        self._layout.setSpacing(2)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.add_words(level.asks, Size.NAME)

    def add_words(self, text: str, size: Size = Size.TEXT, made_by: type[Words] = Words) -> Words:
        """A line of text in the box."""
        words = made_by(text, size)
        if self.level is Level.URGENT:
            words.setForegroundRole(urgent_ink())
        self._layout.addWidget(words)
        return words

    def add(self, widget: QWidget) -> None:
        """Buttons in the box."""
        self._layout.addWidget(widget)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self.level is Level.URGENT:
            for words in self.findChildren(Words):
                words.setForegroundRole(urgent_ink())

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours = self.palette()
        if self.level is Level.URGENT:
            draw_urgent(painter, self.rect(), colours)
        elif self.level is Level.CALL:
            draw_box(painter, self.rect(), colours, INK, 1)
            self._draw_bar(painter, QRect(0, 0, BAR, self.height()), colours)
        else:
            self._draw_ring(painter, colours)

    def _draw_bar(self, painter: QPainter, bar: QRect, colours: QPalette) -> None:
        if is_dark():  # an outline shines less than an area
            painter.setPen(colours.color(INK))
            painter.drawRect(bar.adjusted(0, 0, -1, -1))
        else:
            painter.fillRect(bar, colours.color(INK))

    def _draw_ring(self, painter: QPainter, colours: QPalette) -> None:
        painter.setPen(colours.color(INK))
        painter.drawEllipse(QRect(6, 15, 9, 9))
