"""Everybody who records, as large buttons; and nobody."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.button import Button, ChoiceButton
from carelog.ui.flow import Flow
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder, names
from carelog.ui.ringed import Scrolled
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words


class Recorders(QWidget):
    """One press chooses who records from now on."""

    def __init__(
        self, present: Present, recorder: Recorder, go: Callable[[str], None], add: Callable[[], None]
    ) -> None:
        super().__init__()
        self._present = present
        self._recorder = recorder
        self._go = go
        self._add = add
        self._body = QWidget()
        self._column = QVBoxLayout(self._body)
        self._column.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(Scrolled(self._body, say("Who records?")))
        self._holder: QWidget | None = None

    def opened(self) -> None:
        """Show who is there now."""
        if self._holder is not None:
            self._column.removeWidget(self._holder)
            self._holder.setParent(None)
        self._holder = QWidget()
        column = QVBoxLayout(self._holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(Words(say("Who records?"), Size.HEAD))
        row = QWidget()
        flow = Flow(row)
        for initials, name in names(self._present.picture):
            flow.addWidget(self._choice(initials, f"{initials}  {name}".strip()))
        flow.addWidget(self._choice("", say("nobody chosen")))
        column.addWidget(row)
        column.addWidget(Words(say("Entries made with nobody chosen are marked “no name”."), soft=True))
        add = Button(say("Add somebody who records"), "add_recorder")
        add.clicked.connect(lambda: self._add())
        column.addWidget(add, 0, Qt.AlignmentFlag.AlignLeading)
        column.addStretch(1)
        self._column.addWidget(self._holder)
        self._holder.show()

    def _choice(self, initials: str, words: str) -> ChoiceButton:
        button = ChoiceButton(words, f"choose_{initials or 'nobody'}", is_one_of=True)
        button.setMinimumHeight(96)
        button.show_on(initials == self._recorder.who)
        button.switched.connect(lambda _is_on: self._chosen(initials))
        return button

    def _chosen(self, initials: str) -> None:
        self._recorder.choose(initials)
        self._go("board")
