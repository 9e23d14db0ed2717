"""The foot of the plan's editor: what changes, and the buttons; little of it stays there in large text."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from carelog.text import mark, say
from carelog.ui.column import row
from carelog.ui.flow import Flow
from carelog.ui.theme import HUGE, LARGE, STEP, Size, percent_now
from carelog.ui.words import Words

MOST_LETTERS, MOST_HUGE = 110, 24
"""So long may what changes be to stand beside the button that saves; of huge letters a line has no more."""
_MANY = mark("What changes stands at the top of this page.")
_MANY_HUGE = mark("The changes stand above.")


class PlanFoot(QWidget):
    """Stands beneath the scrolled page; `above` and `whole` are in the page for what it has no room for."""

    def __init__(self, message: Words, save: QWidget, acts: Sequence[QWidget]) -> None:
        super().__init__()
        self.above = QWidget()
        self.whole = Words("", Size.STRONG)
        self._change = Words("", Size.STRONG)
        self._change.setObjectName("plan_change_words")
        self._words = ""
        self._message = message
        self._acts = acts
        self._above = Flow(self.above)
        beside = row(save)
        flow = beside.layout()
        assert isinstance(flow, Flow)
        self._beside, self._row = flow, beside
        self._box = self._lay_out()
        self.say_message("")
        self._fit()

    def _lay_out(self) -> QBoxLayout:
        box = QBoxLayout(QBoxLayout.Direction.TopToBottom, self)
        box.setContentsMargins(2 * STEP, 0, 2 * STEP, STEP)
        box.setSpacing(STEP)
        texts = QVBoxLayout()
        box.addLayout(texts, 1)
        texts.setSpacing(STEP)
        texts.addWidget(self._change)
        texts.addWidget(self._message)
        box.addWidget(self._row)
        return box

    def say_change(self, words: str) -> None:
        """Say what changes: here, or where that is long at the top of the page."""
        self._words = words
        is_huge = percent_now() >= HUGE
        is_long = len(words) > (MOST_HUGE if is_huge else MOST_LETTERS)
        self._change.say(say(_MANY_HUGE if is_huge else _MANY) if is_long else words)
        self.whole.say(words)
        self.whole.setVisible(is_long)

    def say_message(self, sentence: str) -> None:
        """Show the form's message, or none; huge letters leave no room for more than that."""
        self._message.setVisible(bool(sentence))
        self._change.setVisible(not sentence or percent_now() < HUGE)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()
            self.say_change(self._words)
            self.say_message(self._message.text() if not self._message.isHidden() else "")

    def _fit(self) -> None:
        """Saving, and what changes, are always in sight; the other buttons where the page has room."""
        is_large = percent_now() >= LARGE
        place = self._above if is_large else self._beside
        for act in self._acts:
            place.addWidget(act)
        self.above.setVisible(is_large)
        ways = QBoxLayout.Direction
        # Saving stands first, as in every other form's foot.
        self._box.setDirection(ways.RightToLeft if percent_now() >= HUGE else ways.TopToBottom)
