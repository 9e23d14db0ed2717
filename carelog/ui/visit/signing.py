"""The panel that signs: who, which days, a note, one press."""

from collections.abc import Sequence

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.app.outlook import Picture
from carelog.text import mark, say
from carelog.ui.button import Button, ChoiceButton, Main
from carelog.ui.column import row
from carelog.ui.ringed import Ringed
from carelog.ui.theme import STEP, Size, dress
from carelog.ui.visit.state import VisitActs, VisitState
from carelog.ui.visit.typing import typed_line
from carelog.ui.words import Words

NURSE = "nurse"
NOTE = "visit_note"
_WHAT = mark("{days}, up to now. What is changed later is marked.")
_AS = mark("Sign {days} as {name}")
_UNSIGNED = mark("Only write the visit down")


def signers(picture: Picture) -> list[tuple[str, str]]:
    """Initials and names of the nurses who record; of all who do where none is a nurse."""
    found: dict[str, tuple[bool, str]] = {}
    for held in picture.recorders:
        details = held.entry.details
        is_nurse = details.get("role") == NURSE
        found[str(details["initials"])] = is_nurse, str(details.get("name") or details["initials"])
    has_nurse = any(is_nurse for is_nurse, _ in found.values())
    return [(initials, name) for initials, (is_nurse, name) in found.items() if is_nurse or not has_nurse]


class Signing(QWidget):
    """Nobody's name is typed: it is chosen among those who record."""

    def __init__(self, days: str, picture: Picture, state: VisitState, acts: VisitActs) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP)
        column.addWidget(Words(say(_WHAT).format(days=days), Size.FAR))
        known = signers(picture)
        column.addWidget(row(*self._who(known, state, acts)))
        column.addWidget(Ringed(typed_line(NOTE, say(mark("a word about it, if you like")), state.typed)))
        name = dict(known).get(state.nurse, "")
        words = say(_AS).format(days=days, name=name) if name else say(mark("Sign"))
        sign = Main(words, "visit_sign_now", size=Size.FAR)
        sign.clicked.connect(lambda: acts.sign(True))
        only = Button(say(_UNSIGNED), "visit_write_only", size=Size.FAR)
        only.clicked.connect(lambda: acts.sign(False))
        column.addWidget(row(sign, only))

    @staticmethod
    def _who(known: Sequence[tuple[str, str]], state: VisitState, acts: VisitActs) -> "list[QWidget]":
        made: list[QWidget] = [Words(say(mark("Who signs?")), Size.FAR, wraps=False)]
        for initials, name in known:
            words = f"{initials}  {name}" if name != initials else initials
            button = ChoiceButton(words, f"signs_{initials}", is_one_of=True)
            dress(button, Size.FAR)
            button.setAccessibleName(say(mark("{name} signs")).format(name=name))
            button.show_on(initials == state.nurse)
            button.switched.connect(lambda is_on, one=initials: acts.choose_nurse(one if is_on else ""))
            made.append(button)
        add = Button(say(mark("somebody else …")), "signs_other", size=Size.FAR)
        add.clicked.connect(lambda: acts.go("who"))
        return [*made, add]
