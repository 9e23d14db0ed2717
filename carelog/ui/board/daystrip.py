"""The strip of the day beneath the tiles: each mark opens its entry, by a finger or by the arrow keys."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from carelog.analysis.drawing import Drawing
from carelog.analysis.strip import Strip, StripMark, drawn
from carelog.text import say
from carelog.ui import times
from carelog.ui.announce import announce
from carelog.ui.button import draw_ring
from carelog.ui.drawing import paint
from carelog.ui.naming import entry_line
from carelog.ui.palette import LINE, RING
from carelog.ui.theme import CORNER, STEP, Size, dress, is_dark

REACH = 22.0  # px around a mark in which a press still means it
PAD = STEP


class DayStrip(QWidget):
    """Left and right go from mark to mark, Return opens its entry; what is at the mark is said."""

    def __init__(self, open_entry: Callable[[str], object]) -> None:
        super().__init__()
        self._open_entry = open_entry
        self._strip: Strip | None = None
        self._drawing: Drawing | None = None
        self._marks: list[StripMark] = []
        self._at: str = ""
        """The id of the entry that the keys are at; empty: at none."""
        self.setObjectName("day_strip")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        dress(self, Size.SMALL)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(say("The day"))

    def show_strip(self, strip: Strip | None) -> None:
        """Show the day as it is now; None: not read yet."""
        if strip != self._strip:
            self._strip = strip
            self._draw()

    def marks(self) -> list[StripMark]:
        """The marks of the entries, in the order of time."""
        return sorted(self._marks, key=lambda each: each.held.time)

    def place_of(self, mark: StripMark) -> QPointF:
        """Where a mark lies in this widget, in px."""
        return QPointF(mark.x + PAD, mark.y + PAD)

    def sizeHint(self) -> QSize:
        return QSize(0, round(self._drawing.height) + 2 * PAD if self._drawing else 0)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._draw()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._draw()

    def _draw(self) -> None:
        if self._strip is None:
            self._drawing, self._marks = None, []
        else:
            width = max(self.width() - 2 * PAD, 1)
            self._drawing, self._marks = drawn(self._strip, width, self.font().pixelSize())
            self.setAccessibleDescription(self._drawing.words)
        self.updateGeometry()
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        if self._drawing is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours = self.palette()
        if not is_dark():  # fewer lines shine at night
            painter.setPen(QPen(colours.color(LINE), 1))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), CORNER, CORNER)
        painter.translate(PAD, PAD)
        for part in self._drawing.parts:
            paint(painter, part, colours, self.font())
        painter.translate(-PAD, -PAD)
        here = next((each for each in self._marks if each.held.entry.id == self._at), None)
        if self.hasFocus():
            draw_ring(painter, self.rect(), colours)
            if here is not None:
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.setPen(QPen(colours.color(RING), 3))
                painter.drawEllipse(self.place_of(here), 12, 12)

    # Presses --------------------------------------------------------------------------------------

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        place = event.position()
        near = min(self._marks, key=lambda each: _away(self.place_of(each), place), default=None)
        if near is not None and _away(self.place_of(near), place) <= REACH:
            self._at = near.held.entry.id
            self._open_entry(self._at)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        key = Qt.Key(event.key())
        if key in steps and not event.modifiers():
            step = steps[key] * (-1 if self.isRightToLeft() else 1)
            self._move(step)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space) and self._at:
            self._open_entry(self._at)
        else:
            super().keyPressEvent(event)

    def _move(self, step: int) -> None:
        found = self.marks()
        if not found:
            return
        ids = [each.held.entry.id for each in found]
        last = len(ids) - 1
        at = min(max(ids.index(self._at) + step, 0), last) if self._at in ids else (last if step < 0 else 0)
        self._at = ids[at]
        announce(self, self.words_of(found[at]))
        self.update()

    def words_of(self, mark: StripMark) -> str:
        """A mark in words: what, when, by whom."""
        assert self._strip is not None
        held = mark.held
        when = times.near(self._strip.home, held.time, self._strip.now)
        return f"{entry_line(held.entry)}, {when}, {held.first.by or say('no name')}"


def _away(one: QPointF, other: QPointF) -> float:
    return max(abs(one.x() - other.x()), abs(one.y() - other.y()))
