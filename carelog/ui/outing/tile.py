"""A tile of what is taken along: pressed when it is packed; what is known of it stands beneath its name."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from carelog.text import mark, say
from carelog.ui.button import ChoiceButton
from carelog.ui.kit.panel import SIDE, Sight, SightSign
from carelog.ui.theme import BEDSIDE_TARGET, STEP, Size, font
from carelog.ui.words import Words, breakable

BESIDE = 4 * STEP + SIDE + 2 * STEP + 4  # px at 100 %: the margins, the sign and the room after it


def least_width(words: str) -> int:
    """The width in px at 100 % below which a word of a tile would be cut."""
    metrics = QFontMetrics(font(Size.NAME, 100))
    return max(map(metrics.horizontalAdvance, breakable(words).split()), default=0) + BESIDE


class PackTile(ChoiceButton):
    """A tick and "packed", or a dotted square and that it isn't; never told by the outline alone."""

    def __init__(
        self, name: str, words: str, told: str, *, is_packed: bool, parent: QWidget | None = None
    ) -> None:
        super().__init__("", name, parent)
        state = say(mark("packed")) if is_packed else say(mark("not packed yet"))
        self.setAccessibleName(", ".join(part for part in (words, told, state) if part))
        self.show_on(is_packed)
        layout = self._tile = QHBoxLayout(self)
        layout.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP + STEP // 2)
        layout.setSpacing(STEP)
        layout.addWidget(SightSign(Sight.THERE if is_packed else Sight.UNSEEN))
        texts = QVBoxLayout()
        layout.addLayout(texts, 1)
        texts.setSpacing(0)
        for text, size, is_soft in (
            (words, Size.NAME, False),
            (told, Size.TEXT, True),
            (state, Size.STRONG if is_packed else Size.TEXT, not is_packed),
        ):
            if text:
                texts.addWidget(Words(text, size, soft=is_soft))
        texts.addStretch(1)
        for each in self.findChildren(QWidget):
            each.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setMinimumHeight(BEDSIDE_TARGET)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return max(self._tile.heightForWidth(width), BEDSIDE_TARGET)

    def sizeHint(self) -> QSize:
        return self._tile.sizeHint().expandedTo(QSize(0, BEDSIDE_TARGET))

    def minimumSizeHint(self) -> QSize:
        return self._tile.minimumSize().expandedTo(QSize(0, BEDSIDE_TARGET))
