"""The controls of one question of the basics, and what they answer."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.app.basics.answers import Answer
from carelog.domain.entry import Details, Json
from carelog.domain.field import Field
from carelog.domain.kind import Kind
from carelog.domain.moment import Home, Instant
from carelog.domain.trouble import Refused
from carelog.text import say
from carelog.ui.button import ChoiceButton
from carelog.ui.forms.build import Builder
from carelog.ui.forms.control import ABSENT, Absent, Control
from carelog.ui.forms.labels import label
from carelog.ui.forms.picks import Picks
from carelog.ui.forms.questions import questions
from carelog.ui.forms.rows import FormRows
from carelog.ui.theme import LARGE, Size, dress, percent_now

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held
    from carelog.app.outlook import Picture

PRESSED = 64  # px, the least height of an answer that one press gives
Given = Mapping[str, Json]


@dataclass(frozen=True)
class Now:
    """What the record shows when a question is asked, and on whose clock."""

    picture: "Picture"
    home: Home
    now: Instant
    held: "Held | None" = None
    """The entry that the answer changes; None: a first answer, or one more."""
    taken: Collection[str] = ()
    """The lines that a plan's note may hold of this question: what was taken of the program's offer."""
    aside: Collection[str] = ()
    """The keys of screens of which it was said here that there is nothing to record."""

    @property
    def today(self) -> date:
        """The day at home."""
        return self.home.day(self.now)

    @property
    def is_adult(self) -> bool:
        """Whether the person is known to be 18 or older: only then values are offered."""
        return self.picture.person.is_adult(self.today) is True


class Asked(QWidget):
    """One question. What is pressed may answer it at once; what is typed waits for the button that saves."""

    is_saved_by_button = True
    keeps_typed = False
    """Whether what was typed is still to be saved after an answer, such as a note of a part of it."""
    line = ""
    """What the last press has the plan's note say: that the program's offer was taken."""
    says_none = False
    """Whether the last press said that there is none: the record holds nothing then that could tell it."""

    def __init__(self, now: Now) -> None:
        super().__init__()
        self.now = now
        self.when_changed: list[Callable[[], None]] = []
        self.when_answered: list[Callable[[Answer], None]] = []

    def answer(self) -> Answer:
        """What saves it as it stands; `Refused` with a sentence where it can't be."""
        raise Refused(say("Nothing is filled in yet."))

    def odd(self) -> list[str]:
        """What is asked about once more before it is saved."""
        return []

    def typed(self) -> Json:
        """What stands in it, valid or not, for the draft."""
        return None

    def restore(self, typed: Json) -> None:
        """Put back what `typed` gave."""

    def landing(self) -> QWidget | None:
        """Where typing begins; None: nothing is typed here, and nothing is to be pressed by accident."""
        return None

    def touched(self) -> None:
        """Somebody typed or chose something."""
        for listener in self.when_changed:
            listener()

    def answered(self, answer: Answer) -> None:
        """A press answered it."""
        for listener in self.when_answered:
            listener(answer)


class FieldsAsked(Asked):
    """Some fields of a kind, as its form has them; what is left empty is not recorded."""

    def __init__(
        self,
        now: Now,
        kind: Kind,
        names: tuple[str, ...],
        given: Given,
        first: tuple[str, Control] | None = None,
    ) -> None:
        """`names`: in the order in which they are asked for; `given`: what is recorded of them.

        `first`: the words and the control of a row above them.
        """
        super().__init__(now)
        fields = [found for name in names if (found := kind.field(name)) is not None]
        self.kind = replace(kind, fields=tuple(fields))
        self.controls = Builder(self.kind, now.home, now.today).controls()
        self.body = QWidget()
        rows = FormRows(self.body)
        if first is not None:
            rows.add(*first)
        for field in self.kind.fields:
            control = self.controls[field.name]
            if control.parentWidget() is None:
                rows.add(self.words_of(field), control, say(field.help))
            control.put(given.get(field.name, ABSENT))
            control.when_changed.append(self.touched)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.addWidget(self.body)

    def words_of(self, field: Field) -> str:
        """What a field is called here."""
        return label(field)

    def given(self) -> dict[str, Json]:
        """Each field's value, None where it is empty; `Refused` with the field's words for what is none."""
        found: dict[str, Json] = {}
        for field in self.kind.fields:
            value = _value(self.controls[field.name], self.words_of(field))
            problem = say("is missing") if value is ABSENT and field.required else None
            if not isinstance(value, Absent):
                problem = field.type.problem(value)
            if problem:
                raise Refused(f"{self.words_of(field)} {problem}.")
            found[field.name] = None if isinstance(value, Absent) else value
        return found

    def filled(self) -> dict[str, Json]:
        """The fields that hold something."""
        return {name: value for name, value in self.given().items() if value is not None}

    def odd(self) -> list[str]:
        moment = self.now.home.moment(self.now.now)
        return questions(self.kind, self.filled(), moment, self.now.now)

    def typed(self) -> Json:
        return {name: control.typed() for name, control in self.controls.items()}

    def restore(self, typed: Json) -> None:
        for name, kept in typed.items():
            if name in self.controls:
                self.controls[name].restore(kept)

    def landing(self) -> QWidget | None:
        first = self.controls[self.kind.fields[0].name]
        return None if isinstance(first, Picks) else first.focus()


def _value(control: Control, words: str) -> Json | Absent:
    try:
        return control.value()
    except Refused as refused:
        raise Refused(f"{words}: {refused.sentence}") from refused


class ChoiceAsked(Asked):
    """A few large answers, of which a press saves one."""

    is_saved_by_button = False

    def __init__(
        self, now: Now, kind: Kind, name: str, given: Details, say_it: Callable[[Given], Answer]
    ) -> None:
        """`say_it` makes the answer of the field and its value."""
        super().__init__(now)
        only = replace(kind, fields=tuple(each for each in kind.fields if each.name == name))
        picks = Builder(only, now.home, now.today).controls()[name]
        picks.put(given.get(name, ABSENT))

        def pressed() -> None:
            value = picks.read()
            self.answered(say_it({name: None if isinstance(value, Absent) else value}))

        picks.when_changed.append(pressed)
        enlarge(picks)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(picks)


def enlarge(choices: QWidget) -> None:
    """Large buttons for a screen that asks for one press; in large print the words are large enough."""
    size = Size.NAME if percent_now() < LARGE else Size.TEXT
    for button in choices.findChildren(ChoiceButton):
        dress(button, size)
        button.setMinimumHeight(PRESSED)
