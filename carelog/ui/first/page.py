"""The first evening: a record is begun or brought along, then one question a screen until the board."""

from collections.abc import Callable

from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from carelog.ui.access import Stage
from carelog.ui.desk import Desk
from carelog.ui.first.begin import Begin
from carelog.ui.first.kept import HalfTyped
from carelog.ui.first.last import LastAnswer
from carelog.ui.first.maker import ScreenMaker
from carelog.ui.first.run import QuestionRun
from carelog.ui.first.screens import Screen
from carelog.ui.first.still import StillOpen
from carelog.ui.preferences import Preferences
from carelog.ui.taking import Taking


class First(QWidget):
    """What is shown follows from the record: none yet, or one with questions."""

    def __init__(
        self,
        desk: Desk,
        preferences: Preferences,
        taking: Taking,
        maker: ScreenMaker,
        last: LastAnswer,
        still: StillOpen,
        go: Callable[[str], None],
        tell: Callable[[str], None],
    ) -> None:
        """`tell` shows a sentence that stays until somebody has read it."""
        super().__init__()
        self._present = desk.present
        self._kept = HalfTyped(desk, tell, self)
        self._begin = Begin(desk.access, desk.present, taking, preferences)
        self.run = QuestionRun(desk, maker, self._kept, last, still, go)
        self._stack = QStackedWidget()
        self._stack.addWidget(self._begin)
        self._stack.addWidget(self.run)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._stack)
        desk.present.when_changed.append(self._turn)

    def opened(self) -> None:
        """Show what the record asks for; the questions go on where they were left."""
        if self._present.stage is Stage.OPEN:
            self._stack.setCurrentWidget(self.run)
            self.run.opened()
        else:
            self._stack.setCurrentWidget(self._begin)
            self._begin.opened()

    def show_question(self, name: str, sentence: str = "", entry_id: str = "") -> None:
        """One question alone, to be answered or changed at its place."""
        self._stack.setCurrentWidget(self.run)
        self.run.show_one(Screen(name, sentence), entry_id)

    def _turn(self) -> None:
        """The record was begun, or let go of, while this page is open."""
        is_open = self._present.stage is Stage.OPEN
        is_right = self._stack.currentWidget() is (self.run if is_open else self._begin)
        if self.isVisible() and not is_right:
            self.opened()
