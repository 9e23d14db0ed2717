"""The rail: a glyph and a word for each page at the window's edge, and how many flags are open.

Where it isn't high enough the glyphs go first, then the last pages, to the list behind its last button.
"""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QRect, QRectF, QSize
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QStylePainter, QVBoxLayout, QWidget

from carelog.text import say, say_n
from carelog.ui.button import ChoiceButton, draw_ring, fill
from carelog.ui.glyphs import SIDE, draw_glyph
from carelog.ui.numbers import CENTRED
from carelog.ui.pages import Page, Spot, standing
from carelog.ui.palette import GROUND, INK, RAIL, SOFT
from carelog.ui.present import Present
from carelog.ui.theme import STEP, TARGET, Size, dress, font, is_dark, percent_now

WIDTH = 92  # px at 100 %
BAR = 5  # px, beside the page that is open
ROOMY = 63  # px at 100 %, the height of a button where there is room
ROUND, SMALL_ROUND = 20, 15  # px at 100 %, the round with the number of flags; beside a word alone
LIST = "others"


class RailButton(ChoiceButton):
    """One page: its glyph, its word beneath, a bar beside it while it is open, a number in a round."""

    is_guarded = False

    def __init__(self, page: Page) -> None:
        super().__init__(say(page.words), f"go_{page.name}", is_one_of=True)
        self.page = page
        self.has_glyph = True
        self.count = 0
        dress(self, Size.SMALL)
        self.setAccessibleName(self.words)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_count(self, count: int) -> None:
        """A number at its glyph; 0: none."""
        if count != self.count:
            self.count = count
            told = say_n("one open", "{count} open", count).format(count=count)
            self.setAccessibleName(f"{self.words}, {told}" if count else self.words)
            self.update()

    def word_width(self) -> int:
        """The width of its word in px, half-bold as it is while it is open."""
        return self.fontMetrics().horizontalAdvance(self.words)

    def height_of(self, *, has_glyph: bool) -> int:
        """The least height in px with a glyph or without."""
        word = self.fontMetrics().height()
        return max(SIDE + word + 10 if has_glyph else word + STEP, TARGET)

    def sizeHint(self) -> QSize:
        return QSize(TARGET, self.height_of(has_glyph=self.has_glyph))

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QStylePainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours, is_open = self.palette(), self.isChecked()
        if is_open:
            fill(painter, self.rect(), colours.brush(GROUND))
            left = self.width() - BAR if self.isRightToLeft() else 0
            fill(painter, QRect(left, 0, BAR, self.height()), colours.brush(INK))
        ink = INK if is_open or self.isDown() or self.underMouse() else SOFT
        place = self.rect()
        if self.has_glyph:
            word = self.fontMetrics().height()
            side = min(SIDE * percent_now() // 100, self.height() - word - 8)
            top = (self.height() - side - word - 2) // 2
            draw_glyph(
                painter,
                self.page.glyph,
                QRect((self.width() - side) // 2, top, side, side),
                colours.brush(ink),
            )
            place = QRect(0, top + side + 2, self.width(), word)
        elif self.count:
            place = place.adjusted(0, 0, -round(self._round().width()), 0)
        painter.setFont(font(Size.SMALL_STRONG if is_open else Size.SMALL, percent_now()))
        if self.isRightToLeft():
            place.moveRight(self.rect().right())
        painter.drawItemText(place, CENTRED, colours, True, self.words, ink)
        if self.count:
            self._draw_count(painter)
        if self.hasFocus():
            draw_ring(painter, self.rect(), colours)

    def _round(self) -> QRectF:
        """Where the number stands: at the glyph's corner, or beside the word."""
        small = font(Size.SMALL if self.has_glyph else Size.LINE, percent_now())
        side = (ROUND if self.has_glyph else SMALL_ROUND) * percent_now() // 100
        width = max(side, QFontMetrics(small).horizontalAdvance(str(self.count)) + side // 2)
        edge = STEP if self.has_glyph else STEP // 2
        left = edge if self.isRightToLeft() else self.width() - width - edge
        top = STEP // 2 if self.has_glyph else (self.height() - side) // 2
        return QRectF(left, top, width, side).adjusted(1, 1, -1, -1)

    def _draw_count(self, painter: QPainter) -> None:
        """A filled round by day; at night only its line."""
        area, colours = self._round(), self.palette()
        painter.setPen(QPen(colours.color(INK), 1.4))
        painter.setBrush(colours.color(GROUND if is_dark() else INK))
        painter.drawRoundedRect(area, area.height() / 2, area.height() / 2)
        painter.setPen(colours.color(INK if is_dark() else GROUND))
        if not self.has_glyph:
            painter.setFont(font(Size.LINE, percent_now()))
        painter.drawText(area, CENTRED, str(self.count))


class Rail(QWidget):
    """The pages' buttons from top to bottom."""

    is_group = True

    def __init__(self, present: Present, go: Callable[[str], None]) -> None:
        super().__init__()
        self.setObjectName("rail")
        self.setAccessibleName(say("Pages"))
        self._present = present
        self.buttons = {page.name: RailButton(page) for page in standing(Spot.RAIL)}
        self._open = ""
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, STEP // 2, 0, STEP // 2)
        layout.setSpacing(0)
        for name, button in self.buttons.items():
            button.switched.connect(lambda _is_on, page=name: go(page))
            layout.addWidget(button)
        layout.addStretch(1)
        self.setBackgroundRole(RAIL)
        self.setAutoFillBackground(True)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        present.when_changed.append(self.refresh)
        self._arrange()

    def hidden(self) -> list[Page]:
        """The pages that it has no room for."""
        return [button.page for button in self.buttons.values() if button.isHidden()]

    def show_open(self, name: str) -> None:
        """Mark the page that is open; its list, if it has no place here."""
        self._open = name
        listed = {page.name for page in (*standing(Spot.LIST), *self.hidden())}
        for each, button in self.buttons.items():
            button.show_on(each == (LIST if name in listed else name))

    def refresh(self) -> None:
        """Show how many flags are open."""
        from carelog.ui.flags.shown import in_force

        flags = self._present.flags
        self.buttons["flags"].show_count(0 if flags is None else len(in_force(flags)))

    # Room -----------------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:
        word = max(button.word_width() for button in self.buttons.values())
        least = WIDTH if self._has_glyphs() else TARGET
        return QSize(max(least, word + 2 * STEP + BAR), 4 * TARGET)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._arrange()

    def _has_glyphs(self) -> bool:
        return self._room() >= len(self.buttons) * self._height_of(has_glyph=True)

    def _room(self) -> int:
        return self.height() - STEP

    def _height_of(self, *, has_glyph: bool) -> int:
        return max(button.height_of(has_glyph=has_glyph) for button in self.buttons.values())

    def _arrange(self) -> None:
        has_glyphs = self._has_glyphs()
        least = self._height_of(has_glyph=has_glyphs)
        fit = max(self._room() // least, 2)
        height = min(max(self._room() // len(self.buttons), least), ROOMY * percent_now() // 100)
        last = len(self.buttons) - 1
        for number, button in enumerate(self.buttons.values()):
            button.has_glyph = has_glyphs
            button.setVisible(last < fit or number < fit - 1 or number == last)
            button.setFixedHeight(max(height, least))
        self.updateGeometry()
        self.show_open(self._open)
