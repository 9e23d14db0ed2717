"""A button as a row: a glyph, words, and beneath them in soft ink what they lead to."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from carelog.ui.button import Button
from carelog.ui.glyphs import Glyph
from carelog.ui.palette import ACCENT
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words


class RowButton(Button):
    """As wide as its page; the glyph says nothing that the words don't."""

    def __init__(
        self, words: str, name: str, glyph: str, told: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__("", name, parent)
        self._words, self._told = Words("", Size.NAME), Words("", soft=True)
        layout = self._row = QHBoxLayout(self)
        layout.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        layout.setSpacing(2 * STEP)
        layout.addWidget(Glyph(glyph, role=ACCENT))
        texts = QVBoxLayout()
        layout.addLayout(texts, 1)
        texts.setSpacing(0)
        for label in (self._words, self._told):
            label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            texts.addWidget(label)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.tell(words, told)

    def tell(self, words: str, told: str = "", *, soft: bool = False) -> None:
        """Show these words, and beneath them what they lead to; `soft` for what isn't known or set."""
        self.setAccessibleName(f"{words}, {told}" if told else words)
        self._words.say(words)
        self._words.set_soft(soft)
        self._told.say(told)
        self._told.setHidden(not told)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return max(self._row.heightForWidth(width), 56)

    def sizeHint(self) -> QSize:
        return self._row.sizeHint().expandedTo(QSize(0, 56))

    def minimumSizeHint(self) -> QSize:
        return self._row.minimumSize().expandedTo(QSize(0, 56))
