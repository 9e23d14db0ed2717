"""What stands on a page that has nothing to show yet: its glyph, why, and the one thing to do next."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.button import Button, Main
from carelog.ui.flow import centred
from carelog.ui.glyphs import Glyph
from carelog.ui.palette import SOFT
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words

SIDE = 56  # px at 100 %, of the glyph


class Empty(QWidget):
    """In the middle of the room that the page has; the words say what is missing, never that all is well."""

    def __init__(self, glyph: str, words: str, *acts: Button, is_hint: bool = False) -> None:
        """`is_hint`: the words say how to come by something, and stand back."""
        super().__init__()
        told = Words(words, Size.TEXT if is_hint else Size.NAME, soft=is_hint)
        told.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * STEP, 8 * STEP, 2 * STEP, 4 * STEP)
        column.setSpacing(2 * STEP)
        column.addWidget(Glyph(glyph, SIDE, SOFT), 0, Qt.AlignmentFlag.AlignHCenter)
        column.addWidget(told)
        if acts:
            column.addWidget(centred(*acts))
        column.addStretch(1)


def to_board(glyph: str, words: str, name: str, go: Callable[[str], object]) -> Empty:
    """Nothing to show: what leads on is the board, where everything is recorded."""
    return Empty(glyph, words, Main.calling(say("To the board"), name, lambda: go("board")))
