"""What was saved last on the visit's page, always at its foot, with the way back one press away."""

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QWidget

from carelog.text import say
from carelog.ui.announce import announce
from carelog.ui.button import Strong
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words


class VisitReceipt(QWidget):
    """Seen once there is something to say."""

    def __init__(self, take_back: Callable[[], object]) -> None:
        super().__init__()
        self._words = Words("", Size.NAME)
        self._undo = Strong(say("Take it back"), "visit_undo", size=Size.FAR)
        self._undo.clicked.connect(lambda: take_back())
        layout = QHBoxLayout(self)
        layout.setContentsMargins(2 * STEP, STEP // 2, 2 * STEP, STEP // 2)
        layout.addWidget(self._words, 1)
        layout.addWidget(self._undo)
        self.hide()

    def say(self, words: str, *, can_be_undone: bool = False) -> None:
        """What was saved, or why it wasn't."""
        self._words.say(words)
        self._undo.setVisible(can_be_undone)
        self.show()
        announce(self._words, words)

    def clear(self) -> None:
        """What it said belongs to somebody else, or isn't the last act any more."""
        self._words.say("")
        self.hide()
