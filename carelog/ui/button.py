"""Buttons drawn by ourselves: at least 44 px, an outline, and a ring of 3 px when they have the focus."""

from collections.abc import Callable
from typing import Self

from PySide6 import QtCore
from PySide6.QtCore import QEvent, QPoint, QRect, QRectF, QSize, Signal
from PySide6.QtGui import (
    QBrush,
    QEnterEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPalette,
    QPen,
)
from PySide6.QtWidgets import QApplication, QPushButton, QSizePolicy, QStylePainter, QWidget

from carelog.ui.numbers import BY_ANY_MEANS, CENTRED, WRAPPED
from carelog.ui.palette import ACCENT, GROUND, INK, LINE, RING, SOFT, SURFACE
from carelog.ui.repeats import Repeats
from carelog.ui.theme import CORNER, STEP, TARGET, Size, dress, is_dark

RING_WIDTH = 3
SLIDE = 40  # px that a press may slide off and still count
WIDEST = 640  # px: the width that a button needs at most; longer words wrap where there is no more
SURELY_SHORT = 24  # letters, which not even the largest make wider
MOST_HEIGHT = 10_000  # px, more than any words here take


class Button(QPushButton):
    """A button with words; a checked one is told by a thick outline and a bar beneath, not by colour."""

    outline = LINE
    outline_width = 1
    padding = 14

    def __init__(
        self, text: str = "", name: str = "", parent: QWidget | None = None, size: Size = Size.TEXT
    ) -> None:
        super().__init__(parent)
        self.setText(text.replace("&", "&&"))
        self.setObjectName(name)
        dress(self, size)
        self.setProperty("focusPolicy", BY_ANY_MEANS)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        self.setAutoDefault(False)
        self.stamp: int | None = None
        self._hint: tuple[tuple[str, int], QSize] | None = None
        """What it asked for with its words and padding; Qt asks again and again."""

    @classmethod
    def calling(cls, words: str, name: str, pressed: Callable[[], object]) -> Self:
        """A button that calls this whenever it is pressed."""
        made = cls(words, name)
        made.clicked.connect(lambda: pressed())
        return made

    @property
    def words(self) -> str:
        """The words on it."""
        return self.text().replace("&&", "&")

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.stamp = event.timestamp()
        super().mousePressEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        self.stamp = event.timestamp()
        keys = QtCore.Qt.Key
        if event.key() in (keys.Key_Return, keys.Key_Enter) and not event.isAutoRepeat():
            self.click()
        else:
            super().keyPressEvent(event)

    def taken_stamp(self) -> int | None:
        """The time of the input event behind this press, once; None when there was none."""
        stamp, self.stamp = self.stamp, None
        return stamp

    def keep_height(self) -> None:
        """Stay as high as it needs to be, in the middle of what is higher."""
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    def hitButton(self, place: QPoint) -> bool:
        """A press that slides up to 40 px off still counts, or as far as this computer lets a hand slide."""
        slack = max(SLIDE, QApplication.startDragDistance())
        return self.rect().adjusted(-slack, -slack, slack, slack).contains(place)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        self._hint = None  # in other letters

    def sizeHint(self) -> QSize:
        asked = self.text(), self.padding
        if self._hint is None or self._hint[0] != asked:
            self._hint = asked, self._room_for_words()
        return self._hint[1]

    def _room_for_words(self) -> QSize:
        metrics = self.fontMetrics()
        lines = self.words.split("\n")
        width = max(metrics.horizontalAdvance(each) for each in lines) + 2 * self.padding
        return QSize(max(width, TARGET), max(metrics.height() * len(lines) + STEP, TARGET))

    def minimumSizeHint(self) -> QSize:
        hint = self.sizeHint()
        return hint.boundedTo(QSize(WIDEST, hint.height())) if self.wraps() else hint

    def wraps(self) -> bool:
        """Whether its words are so long, at this size of the text, that they may wrap."""
        return len(self.text()) > SURELY_SHORT and self.sizeHint().width() > WIDEST

    def hasHeightForWidth(self) -> bool:
        return self.wraps() or super().hasHeightForWidth()

    def heightForWidth(self, width: int) -> int:
        if not self.wraps():
            return super().heightForWidth(width)
        room = QRect(0, 0, max(width - 2 * self.padding, 1), MOST_HEIGHT)
        return max(
            self.fontMetrics().boundingRect(room, CENTRED | WRAPPED, self.words).height() + STEP, TARGET
        )

    def enterEvent(self, event: QEnterEvent) -> None:
        super().enterEvent(event)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QStylePainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.draw_frame(painter)
        self.draw_words(painter, self.rect())

    def draw_frame(self, painter: QPainter) -> None:
        """The area, its outline, and the ring when it has the focus."""
        colours = self.palette()
        is_thick = self.isChecked() or self.isDown()
        width = 2.0 if is_thick and self.outline_width < 2 else float(self.outline_width)
        draw_box(painter, self.rect(), colours, self.outline if not is_thick else INK, width)
        if self.isChecked():
            bar = QRect(
                self.rect().left() + CORNER, self.rect().bottom() - 6, self.rect().width() - 2 * CORNER, 4
            )
            fill(painter, bar, colours.brush(INK))
        if self.hasFocus():
            draw_ring(painter, self.rect(), colours)

    def draw_words(self, painter: QStylePainter, place: QRect) -> None:
        """The words, in the middle."""
        wraps, ink = self.wraps(), INK if self.isEnabled() else SOFT
        painter.setFont(self.font())
        inside = place.adjusted(self.padding, 0, -self.padding, 0) if wraps else place
        flags = CENTRED | WRAPPED if wraps else CENTRED
        painter.drawItemText(inside, flags, self.palette(), True, self.words, ink)


class Main(Button):
    """The button of what a page is for: saving, printing."""

    outline = ACCENT
    outline_width = 2
    padding = 24


class Strong(Button):
    """A button that is always at its place and never overlooked: Undo, the emergency page."""

    outline = INK
    outline_width = 2
    padding = 20


class ChoiceButton(Button):
    """A big button that stays pressed.

    `switched` tells that a person pressed it, by a finger, a key or an assistive tool; those switch a button
    without ever clicking it. What the program shows by itself (`show_on`) isn't told.
    """

    switched = Signal(bool)
    padding = 16
    is_guarded = True
    """Whether a second press in a moment is a hand's or a key's own, and takes nothing back."""

    def __init__(
        self, text: str = "", name: str = "", parent: QWidget | None = None, *, is_one_of: bool = False
    ) -> None:
        """`is_one_of`: of those beside it one at most is pressed, and assistive tools are told so."""
        super().__init__(text, name, parent)
        self.setCheckable(True)
        self.setAutoExclusive(is_one_of)
        self._is_one_of = is_one_of
        self._is_ours = False
        self._was_switched = False
        self._repeats = Repeats()
        self.toggled.connect(self._on_toggled)
        self.clicked.connect(self._on_clicked)

    def show_on(self, is_on: bool) -> None:
        """Show it pressed or not."""
        self._is_ours = True
        self.setAutoExclusive(False)  # Qt lets nobody take back the only one of several
        self.setChecked(is_on)
        self.setAutoExclusive(self._is_one_of)
        self._is_ours = False

    def begin_anew(self) -> None:
        """It stands for something else from now on: no press of before is taken for the same."""
        self._repeats = Repeats()

    def _on_toggled(self, is_on: bool) -> None:
        if self._is_ours or (self._is_one_of and not is_on):
            return  # in the second case another one was pressed, which tells it
        if self._is_repeat():
            self.show_on(not is_on)
            return
        self._was_switched = True
        self.switched.emit(is_on)

    def _on_clicked(self) -> None:
        """Pressed again: Qt leaves the only one of several as it is."""
        was_switched, self._was_switched = self._was_switched, False
        if was_switched or not (self._is_one_of and self.isChecked()):
            return
        if not self._is_repeat():
            self.show_on(False)
            self.switched.emit(False)

    def _is_repeat(self) -> bool:
        is_new = self._repeats.is_new(self.objectName(), self.taken_stamp())
        return self.is_guarded and not is_new


# To choose between what `setPen`, `setBrush` and `fillRect` take, PySide6 makes all enumerations of `Qt`, and
# gradients as well: what the first paint shows is filled and stroked path by path, in the palette's brushes.


def fill(painter: QPainter, area: QRect, ink: QBrush) -> None:
    """Fill an area."""
    path = QPainterPath()
    path.addRect(QRectF(area))
    painter.fillPath(path, ink)


def draw_box(
    painter: QPainter,
    place: QRect,
    colours: QPalette,
    outline: QPalette.ColorRole,
    width: float,
    surface: QPalette.ColorRole = SURFACE,
) -> None:
    """A surface with a rounded outline."""
    if width > 1 and is_dark():
        width -= 1  # less light in a dark room
    path, normal = _rounded(place, width / 2), QPalette.ColorGroup.Normal
    painter.fillPath(path, colours.brush(normal, surface))
    painter.strokePath(path, QPen(colours.brush(normal, outline), width))


def draw_ring(painter: QPainter, place: QRect, colours: QPalette) -> None:
    """The focus ring, 3 px, with a gap of the ground's colour inside it."""
    painter.strokePath(_rounded(place, RING_WIDTH + 1), QPen(colours.brush(GROUND), 2))
    painter.strokePath(_rounded(place, RING_WIDTH / 2), QPen(colours.brush(RING), RING_WIDTH))


def _rounded(place: QRect, edge: float) -> QPainterPath:
    """Its outline with round corners, so many px within."""
    path = QPainterPath()
    path.addRoundedRect(QRectF(place).adjusted(edge, edge, -edge, -edge), CORNER, CORNER)
    return path
