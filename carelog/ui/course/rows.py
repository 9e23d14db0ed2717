"""Which rows of the course are drawn, and in which order."""

from collections.abc import Callable

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.analysis.course.course import DRAWABLE, USUAL
from carelog.text import say
from carelog.ui.button import Button, ChoiceButton
from carelog.ui.column import row
from carelog.ui.preferences import Preferences
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words

_TITLES = {each.name: each.title for each in DRAWABLE}


def rows_drawn(preferences: Preferences) -> tuple[str, ...]:
    """The names of the rows in their order."""
    known = tuple(name for name in preferences.now.course_rows if name in _TITLES)
    return known or USUAL


class RowChoice(QWidget):
    """The rows in their order, each with “higher” and “take away”, then those to add."""

    def __init__(self, preferences: Preferences, done: Callable[[], None]) -> None:
        super().__init__()
        self._preferences = preferences
        self._done = done
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        self._body: QWidget | None = None
        self._fill()

    def _fill(self) -> None:
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(Words(say("What is drawn"), Size.HEAD))
        names = rows_drawn(self._preferences)
        done = Button.calling(say("Back to the course"), "course_rows_done", self._done)
        usual = Button.calling(say("Back to the usual rows"), "course_rows_usual", lambda: self._set(USUAL))
        column.addWidget(row(done, usual))
        for place, name in enumerate(names):
            column.addWidget(self._row(place, name, is_only=len(names) == 1))
        others = [name for name in _TITLES if name not in names]
        if others:
            column.addWidget(Words(say("Draw as well:")))
            column.addWidget(row(*map(self._adder, others)))
        column.addStretch(1)
        if self._body is not None:
            self._layout.removeWidget(self._body)
            self._body.setParent(None)
            self._body.deleteLater()
        self._body = body
        self._layout.addWidget(body)
        body.show()

    def _row(self, place: int, name: str, *, is_only: bool) -> QWidget:
        words = say(_TITLES[name])
        higher = Button.calling(say("higher"), f"course_higher_{name}", lambda: self._raise(name))
        higher.setAccessibleName(say("{row} higher").format(row=words))
        higher.setEnabled(place > 0)
        away = Button.calling(say("take away"), f"course_away_{name}", lambda: self._away(name))
        away.setAccessibleName(say("take away: {row}").format(row=words))
        away.setEnabled(not is_only)
        return row(higher, away, Words(f"{place + 1}. {words}", Size.STRONG, wraps=False))

    def _adder(self, name: str) -> ChoiceButton:
        button = ChoiceButton(say(_TITLES[name]), f"course_add_{name}")
        button.setCheckable(False)
        button.clicked.connect(lambda: self._set((*rows_drawn(self._preferences), name)))
        return button

    def _raise(self, name: str) -> None:
        names = list(rows_drawn(self._preferences))
        place = names.index(name)
        names[place - 1], names[place] = names[place], names[place - 1]
        self._set(tuple(names))

    def _away(self, name: str) -> None:
        self._set(tuple(each for each in rows_drawn(self._preferences) if each != name))

    def _set(self, names: tuple[str, ...]) -> None:
        self._preferences.change(course_rows=() if names == USUAL else names)
        self._fill()
