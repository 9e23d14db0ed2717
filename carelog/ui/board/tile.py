"""A tile: its drawing and its words, what was recorded last, and when it is due next."""

from PySide6.QtCore import QEvent, QRect, QSize, QTimer
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QStylePainter, QWidget

from carelog.text import say
from carelog.ui.board.face import NAMES, Face, FaceState, alignment, face, least_height, least_width
from carelog.ui.button import Button, draw_box, draw_ring, fill
from carelog.ui.glyphs import draw_glyph
from carelog.ui.palette import ACCENT, INK, LINE, RAIL, SOFT
from carelog.ui.theme import BEDSIDE_TARGET, Size, font, is_dark, percent_now

FORM_MARK = "…"
LIT = 250  # ms that a pressed tile looks pressed at the least


class TileButton(Button):
    """One tile; everything on it is painted, and told by its accessible name."""

    def __init__(
        self, name: str, words: str, glyph: str, *, is_at_once: bool, parent: QWidget | None = None
    ) -> None:
        super().__init__("", f"tile_{name}", parent, Size.TILE)
        self.title = words
        self.glyph = glyph
        self.is_at_once = is_at_once
        self.state = FaceState()
        self.largest = NAMES[0]
        """The letters of its name are no larger than this."""
        self._face: tuple[object, Face] | None = None
        self._lit = QTimer(self)
        self._lit.setSingleShot(True)
        self._lit.setInterval(LIT)
        self._lit.timeout.connect(self.update)
        self._shown_name = words if is_at_once else words + FORM_MARK
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(BEDSIDE_TARGET, BEDSIDE_TARGET)
        self.show_state(FaceState((), (say("not read yet"),)))

    def show_state(self, state: FaceState) -> None:
        """What was recorded last, when and by whom, and what is due."""
        if state == self.state:
            return
        self.state = state
        words = state.words()
        self.setAccessibleName(f"{self.title}, {words}" if words else self.title)
        self.setAccessibleDescription(say("records at once") if self.is_at_once else say("opens a form"))
        self.update()

    def light(self) -> None:
        """Show for a moment that it was pressed, by whatever means."""
        self._lit.start()
        self.update()

    def needed_width(self) -> int:
        """The width below which a word of its name would be cut."""
        return least_width(self._shown_name)

    def wanted_size(self, width: int, height: int) -> int:
        """Which of the sizes of names (the largest is 0) suits it in this room."""
        return NAMES.index(face(width, height, self._shown_name, self.state).name)

    def needed_height(self, width: int) -> int:
        """The height below which something that has to be read would be cut."""
        return max(least_height(width, self._shown_name, self.state), BEDSIDE_TARGET)

    def sizeHint(self) -> QSize:
        return QSize(BEDSIDE_TARGET, BEDSIDE_TARGET)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Qt would paint it released before what it does is done: it looks pressed, and then as it stands."""
        self.setUpdatesEnabled(False)
        try:
            super().mouseReleaseEvent(event)
        finally:
            self.setUpdatesEnabled(True)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        self._face = None

    def face(self) -> Face:
        """Where everything on it lies now."""
        key = (self.size(), percent_now(), is_dark(), self.state, self.largest)
        if self._face is None or self._face[0] != key:
            made = face(self.width(), self.height(), self._shown_name, self.state, self.largest)
            self._face = key, made
        return self._face[1]

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QStylePainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._draw_frame(painter)
        made, colours, is_mirrored = self.face(), self.palette(), self.isRightToLeft()
        if not made.glyph.isEmpty():
            ink = colours.brush(ACCENT if self.is_at_once else SOFT)
            draw_glyph(painter, self.glyph, self._mirrored(made.glyph), ink)
        percent = percent_now()
        for text in made.texts:
            painter.setFont(font(text.size, percent))
            flags = alignment(at_end=text.at_end, is_mirrored=is_mirrored)
            role = SOFT if text.is_soft else INK
            painter.drawItemText(self._mirrored(text.place), flags, colours, True, text.words, role)
        if not made.square.isEmpty():
            self._draw_square(painter, self._mirrored(made.square))
        if self.hasFocus():
            draw_ring(painter, self.rect(), colours)

    def _draw_frame(self, painter: QPainter) -> None:
        is_pressed = self.isDown() or self._lit.isActive()
        thick = 1.5 if is_dark() else 2.0
        outline, width = (ACCENT, thick) if self.is_at_once else (LINE, 1.0)
        if is_pressed:
            draw_box(painter, self.rect(), self.palette(), INK, 4.0, RAIL)
        elif self.is_at_once or not is_dark():  # fewer lines shine at night
            draw_box(painter, self.rect(), self.palette(), outline, width)

    def _draw_square(self, painter: QPainter, place: QRect) -> None:
        """Filled: late; open: due."""
        from carelog.domain.due import DueState  # with the record: the board is painted before

        if self.state.mark is DueState.LATE:
            fill(painter, place, self.palette().brush(LINE if is_dark() else INK))  # less of it shines
            return
        painter.setBrush(self.palette().color(self.backgroundRole()))
        painter.setPen(QPen(self.palette().color(INK), 2))
        painter.drawRect(place.adjusted(1, 1, -1, -1))

    def _mirrored(self, place: QRect) -> QRect:
        if not self.isRightToLeft():
            return place
        return QRect(self.width() - place.right() - 1, place.y(), place.width(), place.height())
