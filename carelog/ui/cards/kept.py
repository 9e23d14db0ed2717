"""Phrases in the record: what was shown, where the household wants it written down; and who was coming."""

from PySide6.QtWidgets import QWidget

from carelog.kinds.phrase import PHRASE
from carelog.text import say
from carelog.ui.button import Strong
from carelog.ui.flow import Flow
from carelog.ui.preferences import Preferences
from carelog.ui.present import Present
from carelog.ui.slip import Slip, State
from carelog.ui.slips import Slips
from carelog.ui.words import Words


class KeptPhrases:
    """Written down by the person, who shows the cards, never by whoever recorded last; Undo stands beside."""

    def __init__(self, present: Present, slips: Slips, preferences: Preferences) -> None:
        self._present = present
        self._slips = slips
        self._preferences = preferences
        self._slip: Slip | None = None
        self.line = QWidget()
        self._words = Words("", wraps=False)
        self._undo = Strong.calling(say("Undo"), "phrase_undo", self.take_back)
        flow = Flow(self.line)
        flow.addWidget(self._words)
        flow.addWidget(self._undo)
        self.line.hide()
        slips.when_changed.append(self._refresh)

    def shown(self, text: str) -> None:
        """A card was shown."""
        if self._preferences.now.logs_phrases:
            self._take(self._slips.press(PHRASE.name, {"text": text}, by=self._person()))

    def coming(self, initials: str, note: str) -> None:
        """Somebody said that they are coming, which is always written down."""
        self._take(self._slips.press(PHRASE.name, {"text": say("I am coming")}, by=initials, note=note))

    def take_back(self) -> None:
        """Strike out what was written down last."""
        if self._slip is not None:
            self._slips.acts.undo(self._slip)

    def _person(self) -> str:
        """The person's own initials, where they are among those who record; else nobody is named."""
        picture = self._present.picture
        own = [
            held.entry.details
            for held in (picture.recorders if picture else ())
            if held.entry.details.get("role") == "self"
        ]
        return str(own[-1]["initials"]) if own else ""

    def _take(self, slip: Slip) -> None:
        self._slip = slip
        self.line.show()
        self._refresh()

    def _refresh(self) -> None:
        slip = self._slip
        if slip is None:
            return
        said = {
            State.SAVED: say("Written down: “{text}”"),
            State.UNDONE: say("Undone: “{text}”"),
        }.get(slip.state, say("Not written down yet: “{text}”"))
        words = said.format(text=str(slip.first.details["text"]))
        self._words.say(f"{words} {slip.trouble}".strip())
        self._undo.setVisible(slip.state is State.SAVED)
