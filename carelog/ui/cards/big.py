"""Words as large as their place allows, to be read from across the room."""

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QFontMetrics, QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from carelog.ui.palette import INK, SOFT
from carelog.ui.theme import Size, font, is_dark
from carelog.ui.words import breakable

LEAST = 72  # px
MOST = 180  # px
MOST_AT_NIGHT = 128  # px: larger ones shine in a dark room
FINENESS = 4  # px
WRAPPED = int((Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap).value)
NONE_HIGH = 1 << 20  # px


class BigWords(QLabel):
    """At least 72 px whatever the text size is; what doesn't fit even so is scrolled to."""

    is_heading = True

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._least = LEAST
        self._fit()

    def show_words(self, words: str, least: int = LEAST) -> None:
        """Show these, in letters of so many px or more."""
        self._least = least
        self.setText(breakable(words))
        self.setAccessibleName(words)
        self._fit()

    def heightForWidth(self, width: int) -> int:
        """The height of the words in their least letters."""
        return self._height(self._least, width)

    def sizeHint(self) -> QSize:
        return QSize(320, self.heightForWidth(max(self.width(), 320)))

    def minimumSizeHint(self) -> QSize:
        return QSize(0, 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._fit()

    def _height(self, pixels: int, width: int) -> int:
        """The height in px; more than there ever is where a word is wider than the place."""
        made = font(Size.HEAD, 100)
        made.setPixelSize(pixels)
        metrics = QFontMetrics(made)
        if pixels > self._least and any(
            metrics.horizontalAdvance(word) > width for word in self.text().split()
        ):
            return NONE_HIGH
        return metrics.boundingRect(0, 0, max(width, 1), NONE_HIGH, WRAPPED, self.text()).height()

    def _fit(self) -> None:
        """Take the largest letters that fit; in a dark room in soft ink."""
        role = SOFT if is_dark() else INK
        if self.foregroundRole() != role:
            self.setForegroundRole(role)
        pixels, most = self._least, MOST_AT_NIGHT if is_dark() else MOST
        while pixels < most and self._height(pixels + FINENESS, self.width()) <= self.height():
            pixels += FINENESS
        made = font(Size.HEAD, 100)
        made.setPixelSize(pixels)
        if made != self.font():
            self.setFont(made)
