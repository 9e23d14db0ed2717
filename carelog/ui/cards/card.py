"""A card on the page of cards, and the grid that the cards lie in."""

from PySide6.QtCore import QEvent, QRect, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QStylePainter, QWidget

from carelog.app.cards import PhraseCard
from carelog.text import say
from carelog.ui.button import Button, ChoiceButton, draw_box, draw_ring
from carelog.ui.flow import Laid
from carelog.ui.palette import INK, LINE, RAIL, SOFT
from carelog.ui.theme import BEDSIDE_TARGET, STEP, Size, font, is_dark, percent_now

KEYS = "123456789ABC"
"""The key of the first card, the second, and so on."""
NARROWEST = 220  # px at 100 %, of a card beside another; with larger letters half of that grows
ROOMY = (300, 140)  # px at 100 %, from which on its letters are larger
MOST = 4
WRAPPED = int((Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap).value)
ANYWHERE = int((Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWrapAnywhere).value)


class CardButton(Button):
    """A card: its key in the corner, its words, beneath them the same in the other language."""

    def __init__(self, card: PhraseCard, number: int) -> None:
        """`number` is its place among those that are shown, from 0."""
        super().__init__("", f"card_{number + 1}", size=Size.RECEIPT)
        self.card = card
        self.key = KEYS[number]
        self.setAccessibleName(", ".join(each for each in (card.text, card.also) if each))
        self.setAccessibleDescription(say("key {key}").format(key=self.key))
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def _texts(self, *, is_roomy: bool) -> list[tuple[str, Size]]:
        texts = [(self.card.text, Size.HEAD if is_roomy else Size.RECEIPT), (self.card.also, Size.TEXT)]
        return [each for each in texts if each[0]]

    def _is_roomy(self) -> bool:
        width, height = (least * percent_now() // 100 for least in ROOMY)
        return self.width() >= width and self.height() >= height

    def _room(self, width: int) -> int:
        """The width of its words: the key has the corner, and the same is left free across from it."""
        key = QFontMetrics(font(Size.SMALL, percent_now())).horizontalAdvance(KEYS[-1])
        return max(width - 2 * (key + 2 * STEP), 1)

    def _measured(self, width: int, *, is_roomy: bool = False) -> list[tuple[str, Size, int, int]]:
        """Each text with its size, how it wraps in the width, and its height in px."""
        found = []
        room = self._room(width)
        for text, size in self._texts(is_roomy=is_roomy):
            metrics = QFontMetrics(font(size, percent_now()))
            is_whole = max(metrics.horizontalAdvance(word) for word in text.split() or [""]) <= room
            flags = WRAPPED if is_whole else ANYWHERE
            found.append((text, size, flags, metrics.boundingRect(0, 0, room, 1 << 20, flags, text).height()))
        return found

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        """At least a bedside target."""
        return max(sum(height for *_, height in self._measured(width)) + 2 * STEP, BEDSIDE_TARGET)

    def sizeHint(self) -> QSize:
        return QSize(BEDSIDE_TARGET, BEDSIDE_TARGET)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.updateGeometry()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours = self.palette()
        if self.isDown():
            draw_box(painter, self.rect(), colours, INK, 4.0, RAIL)
        elif not is_dark():  # fewer lines shine at night
            draw_box(painter, self.rect(), colours, LINE, 1)
        painter.setPen(colours.color(SOFT))
        painter.setFont(font(Size.SMALL, percent_now()))
        corner = self.rect().adjusted(STEP + 2, STEP - 2, -STEP - 2, 0)
        side = Qt.AlignmentFlag.AlignRight if self.isRightToLeft() else Qt.AlignmentFlag.AlignLeft
        painter.drawText(corner, side | Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignAbsolute, self.key)
        painter.setPen(colours.color(INK))
        measured = self._measured(self.width(), is_roomy=self._is_roomy())
        room = self._room(self.width())
        top = (self.height() - sum(height for *_, height in measured)) // 2
        for text, size, flags, height in measured:
            painter.setFont(font(size, percent_now()))
            painter.drawText(QRect((self.width() - room) // 2, top, room, height), flags, text)
            top += height
        if self.hasFocus():
            draw_ring(painter, self.rect(), colours)


class SubjectButton(ChoiceButton):
    """A subject, with its key in soft letters before its word."""

    padding = 10

    def __init__(self, words: str, key: str, number: int) -> None:
        """`key`: empty where there are more subjects than keys."""
        super().__init__(words, f"subject_{number + 1}", is_one_of=True)
        self._key = key
        self.setAccessibleDescription(say("key {key}").format(key=key) if key else "")

    def _key_width(self) -> int:
        metrics = QFontMetrics(font(Size.SMALL, percent_now()))
        return metrics.horizontalAdvance(self._key) + STEP if self._key else 0

    def sizeHint(self) -> QSize:
        return super().sizeHint() + QSize(self._key_width(), 0)

    def draw_words(self, painter: QStylePainter, place: QRect) -> None:
        taken = self._key_width()
        words = place.adjusted(0, 0, -taken, 0) if self.isRightToLeft() else place.adjusted(taken, 0, 0, 0)
        super().draw_words(painter, words)
        painter.setPen(self.palette().color(SOFT))
        painter.setFont(font(Size.SMALL, percent_now()))
        corner = place.adjusted(self.padding, 0, -self.padding, 0)
        side = Qt.AlignmentFlag.AlignRight if self.isRightToLeft() else Qt.AlignmentFlag.AlignLeft
        painter.drawText(
            corner, side | Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignAbsolute, self._key
        )


class CardGrid(Laid):
    """Rows of cards of one width and one height, which share what room there is."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, STEP)

    def _columns(self, width: int) -> int:
        least = NARROWEST * (100 + percent_now()) // 200
        return max(min(MOST, (width + self._gap) // (least + self._gap)), 1)

    def _place(self, rect: QRect, *, is_rehearsal: bool) -> int:
        area = rect.marginsRemoved(self.contentsMargins())
        columns, shown = self._columns(area.width()), self._shown()
        rows = -(-len(shown) // columns)
        width = (area.width() - (columns - 1) * self._gap) // columns
        height = max((item.heightForWidth(width) for item in shown), default=0)
        needed = rows * (height + self._gap) - self._gap if rows else 0
        if not is_rehearsal and rows:
            height = max((area.height() + self._gap) // rows - self._gap, height)
            for number, item in enumerate(shown):
                row, column = divmod(number, columns)
                x, y = area.x() + column * (width + self._gap), area.y() + row * (height + self._gap)
                item.setGeometry(self._mirrored(QRect(x, y, width, height), area))
        return needed + rect.height() - area.height() if is_rehearsal else needed
