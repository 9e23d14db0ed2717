"""One line of the paper as one line to type: a time, then a key for each box."""

from collections.abc import Callable
from datetime import time

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from carelog.analysis.blankday import BlankRow
from carelog.domain.entry import Json
from carelog.domain.field import Choice, Field, YesNo
from carelog.domain.trouble import Refused
from carelog.kinds import named_or_unknown
from carelog.text import mark, say
from carelog.ui.ringed import Line

FAR = 1_000_000  # rows: beyond the last one stands the button that saves
ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_NO_TIME = mark("“{text}” isn't a time. Type it like 717 or 07:17.")
Move = Callable[[int], None]


def read_clock(text: str) -> time | None:
    """717, 0717, 7:17 or 7.17; None for no time at all, and `Refused` for what isn't one."""
    digits = text.strip().replace(".", ":")
    if not digits:
        return None
    if ":" not in digits:
        digits = f"{digits[:-2] or '0'}:{digits[-2:]}" if len(digits) > 2 else f"{digits}:00"
    hours, _, minutes = digits.partition(":")
    if not (hours.isascii() and hours.isdigit() and minutes.isascii() and minutes.isdigit()):
        raise Refused(say(_NO_TIME).format(text=text[:20]))
    if len(minutes) != 2 or int(hours) > 23 or int(minutes) > 59:
        raise Refused(say(_NO_TIME).format(text=text[:20]))
    return time(int(hours), int(minutes))


class TypedStep(Line):
    """A line from which Enter goes to the next row, and the arrows to the one above or below."""

    def __init__(self, name: str, label: str, move: Move, parent: QWidget | None = None) -> None:
        super().__init__(name, label, parent)
        self._move = move

    def take_over(self, other: "TypedStep") -> None:
        """Hold what the same line of another page holds."""
        self.setText(other.text())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in ENTER and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._move(FAR)
        elif event.key() in (*ENTER, Qt.Key.Key_Down):
            self._move(1)
        elif event.key() == Qt.Key.Key_Up:
            self._move(-1)
        else:
            super().keyPressEvent(event)


class ClockStep(TypedStep):
    """The time; the space bar writes the time that the plan names."""

    def __init__(self, name: str, label: str, move: Move, clock: str) -> None:
        super().__init__(name, label, move)
        self._clock = clock
        self.setPlaceholderText(clock or say("time"))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and self._clock and not self.text():
            self.setText(self._clock)
        else:
            super().keyPressEvent(event)


class BoxStep(TypedStep):
    """A choice: its number or its first letter chooses, Backspace empties it."""

    def __init__(self, name: str, label: str, move: Move, field: Field) -> None:
        self.words = choices(field)
        numbered = ", ".join(f"{number} {word}" for number, (_, word) in enumerate(self.words, 1))
        super().__init__(name, f"{label}: {numbered}", move)
        self.setPlaceholderText(say(field.label) or say(field.asked))
        self.setReadOnly(True)
        self.value: Json = None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        text = event.text().casefold()
        if event.key() in (Qt.Key.Key_Backspace, Qt.Key.Key_Delete):
            self._choose(None)
        elif text.isdigit() and 1 <= int(text) <= len(self.words):
            self._choose(int(text) - 1)
        elif text and text.isalpha():
            self._choose_by_letter(text)
        else:
            super().keyPressEvent(event)

    def _choose_by_letter(self, letter: str) -> None:
        """The next of those that begin with it."""
        places = [n for n, (_, word) in enumerate(self.words) if word.casefold().startswith(letter)]
        now = next((n for n, (value, _) in enumerate(self.words) if value == self.value), -1)
        after = [place for place in places if place > now] if self.value is not None else places
        if places:
            self._choose((after or places)[0])

    def _choose(self, place: int | None) -> None:
        self.value = None if place is None else self.words[place][0]
        self.setText("" if place is None else self.words[place][1])

    def take_over(self, other: TypedStep) -> None:
        super().take_over(other)
        if isinstance(other, BoxStep):
            self.value = other.value

    def clear(self) -> None:
        self._choose(None)


def choices(field: Field) -> list[tuple[Json, str]]:
    """The values of a box with their words."""
    if isinstance(field.type, Choice):
        return [(option.value, say(option.label)) for option in field.type.options]
    return [(True, field.type.words(True)), (False, field.type.words(False))]


def step_for(row: BlankRow, name: str, place: str, move: Move) -> TypedStep:
    """The line for a field of a row."""
    field = named_or_unknown(row.kind).field(name)
    assert field is not None
    label = f"{row.title}, {say(field.label) or say(field.asked)}"
    if isinstance(field.type, Choice | YesNo):
        return BoxStep(place, label, move, field)
    made = TypedStep(place, label, move)
    unit = next((str(each) for each in row.details.values()), "") or say(getattr(field.type, "unit", ""))
    made.setPlaceholderText(f"{say(field.label)} {unit}".strip())
    return made
