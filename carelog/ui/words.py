"""Texts on the screen: always plain text, so that nothing anybody typed is read as markup."""

import re
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from carelog.ui.announce import announce
from carelog.ui.numbers import ABSOLUTE, ACROSS, LEFT, MIDDLE, PLAIN, RIGHT
from carelog.ui.palette import INK, LARGE_INK, SOFT
from carelog.ui.theme import ALWAYS_LARGE, Size, dress

if TYPE_CHECKING:
    from PySide6.QtCore import Qt

_LONG = re.compile(r"\S{24}")
_BREAK = "\N{HAIR SPACE}"  # seen as next to nothing, and read as the end of a word


class Words(QLabel):
    """A text that wraps."""

    def __init__(
        self,
        text: str = "",
        size: Size = Size.TEXT,
        *,
        soft: bool = False,
        wraps: bool = True,
        heading: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.is_heading = heading or size is Size.HEAD
        self.align(LEFT | MIDDLE)
        self.setProperty("textFormat", PLAIN)
        self.setWordWrap(wraps)
        self.setMargin(0)
        dress(self, size)
        self._ink = LARGE_INK if size in ALWAYS_LARGE else INK
        self.set_soft(soft)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(wraps)
        self.setSizePolicy(policy)
        if text:
            self.say(text)

    def setAlignment(self, where: "Qt.AlignmentFlag") -> None:
        self.align(where.value)

    def align(self, where: int) -> None:
        """Qt puts a text in Latin letters to the left, also in a window that begins at the right."""
        if self.isRightToLeft() and not where & (ACROSS | RIGHT | ABSOLUTE):
            where = (where & ~LEFT) | RIGHT | ABSOLUTE
        self.is_in_the_middle = bool(where & MIDDLE)
        self.setProperty("alignment", where)

    def say(self, text: str) -> None:
        """Show this text; words too long for a line may break anywhere."""
        shown = breakable(text)
        if shown != self.text():
            self.setText(shown)
        if self.is_heading:
            self.setAccessibleName(text)

    def set_soft(self, soft: bool) -> None:
        """Show it in soft ink: a second line, or something not known."""
        self.setForegroundRole(SOFT if soft else self._ink)


class ToldWords(Words):
    """How something went; a screen reader says it by itself, each time, while its page is shown."""

    def __init__(self) -> None:
        super().__init__("", Size.STRONG)

    def say(self, text: str) -> None:
        """Show this text, and have it said."""
        self.show_only(text)
        around = self.parentWidget()
        if around is None or around.isVisible():
            announce(self, text)

    def show_only(self, text: str) -> None:
        """Show this text without a word: how far something is that goes on."""
        super().say(text)


def breakable(text: str) -> str:
    """The text with places to break in words longer than 24 characters."""
    return _LONG.sub(lambda found: found.group() + _BREAK, text) if _LONG.search(text) else text
