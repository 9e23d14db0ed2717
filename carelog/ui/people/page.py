"""Everybody who records, as large buttons; and nobody."""

from collections.abc import Callable

from carelog.text import say
from carelog.ui.button import Button, ChoiceButton
from carelog.ui.column import ColumnView
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder, names
from carelog.ui.theme import BEDSIDE_TARGET, Size, dress


class Recorders(ColumnView):
    """One press chooses who records from now on."""

    def __init__(
        self, present: Present, recorder: Recorder, go: Callable[[str], None], add: Callable[[], None]
    ) -> None:
        super().__init__()
        self._present = present
        self._recorder = recorder
        self._go = go
        self._add = add

    def key(self) -> object:
        return self._recorder.who, names(self._present.picture)

    def fill(self) -> None:
        self.heading(say("Who records?"))
        known = ((initials, f"{initials}  {name}".strip()) for initials, name in names(self._present.picture))
        self.list((self._choice(*each) for each in (*known, ("", say("nobody chosen")))), least=260)
        self.words(say("Entries made with nobody chosen are marked “no name”."), soft=True)
        self.row(Button.calling(say("Add somebody who records"), "add_recorder", self._add))

    def _choice(self, initials: str, words: str) -> ChoiceButton:
        button = ChoiceButton(words, f"choose_{initials or 'nobody'}", is_one_of=True)
        dress(button, Size.NAME)
        button.setMinimumHeight(BEDSIDE_TARGET)
        button.show_on(initials == self._recorder.who)
        button.switched.connect(lambda _is_on: self._chosen(initials))
        return button

    def _chosen(self, initials: str) -> None:
        self._recorder.choose(initials)
        self._go("board")
