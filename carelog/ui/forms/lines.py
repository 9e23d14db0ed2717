"""Fields to type into: words, numbers with their unit, dates."""

from datetime import date, timedelta

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QHBoxLayout, QWidget

from carelog.analysis.times import MONTHS, day_words
from carelog.domain.day import readings
from carelog.domain.entry import Json
from carelog.domain.field import Date, Number, Text, Type
from carelog.domain.moment import is_date
from carelog.domain.trouble import Refused
from carelog.domain.units import plain
from carelog.text import mark, say
from carelog.ui.button import Button
from carelog.ui.flow import Flow
from carelog.ui.forms.control import ABSENT, Absent, Control, Value
from carelog.ui.forms.picks import Picks
from carelog.ui.ringed import Line, Lines, Ringed
from carelog.ui.theme import TARGET, percent_now
from carelog.ui.words import Words

NARROW = 140  # px at 100 %
NEAR = (mark("yesterday"), mark("today"), mark("tomorrow"))
TWO_WAYS = mark("“{text}” could be {one} or {other}. Write the month as a word.")


class Narrow(Ringed):
    """A field that has room for a number or a date, and no more, at any size of the text."""

    def __init__(self, inner: QWidget) -> None:
        super().__init__(inner)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def _fit(self) -> None:
        self.setMaximumWidth(NARROW * percent_now() // 100)


class WordsControl(Control):
    """Free text on one line or several."""

    def __init__(self, name: str, label: str, kind: Text) -> None:
        super().__init__()
        self._field: Line | Lines = (
            Lines(f"field_{name}", label) if kind.long else Line(f"field_{name}", label)
        )
        if isinstance(self._field, Line) and kind.like:
            self._field.setPlaceholderText(kind.like)
            self._field.setAccessibleDescription(say("like {example}").format(example=kind.like))
        self._field.textChanged.connect(lambda: self.touched())
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(Ringed(self._field))
        self.setFocusProxy(self._field)

    def show_value(self, value: Value) -> None:
        self.restore(value if isinstance(value, str) else "")

    def read(self) -> Value:
        text = self.typed()
        return text if text.strip() else ABSENT

    def typed(self) -> str:
        field = self._field
        return field.toPlainText() if isinstance(field, Lines) else field.text()

    def restore(self, typed: Json) -> None:
        if isinstance(self._field, Lines):
            self._field.setPlainText(str(typed))
        else:
            self._field.setText(str(typed))

    def focus(self) -> QWidget:
        return self._field


class LineControl(Control):
    """What is typed into one line; `like` is an example of it, shown while nothing is."""

    def __init__(self, name: str, label: str, like: str = "") -> None:
        super().__init__()
        self.line = Line(f"field_{name}", label)
        self.line.setPlaceholderText(like)
        self.line.setAccessibleDescription(say("like {example}").format(example=like) if like else "")
        self.line.textChanged.connect(lambda _text: self.on_text())

    def on_text(self) -> None:
        """Something else is typed."""
        self.touched()

    def show_value(self, value: Value) -> None:
        self.line.setText("" if isinstance(value, Absent) else str(value))

    def typed(self) -> str:
        return self.line.text()

    def restore(self, typed: Json) -> None:
        self.line.setText(str(typed))

    def focus(self) -> QWidget:
        return self.line


class NumberControl(LineControl):
    """A number with comma or point, its unit beside it."""

    def __init__(
        self, name: str, label: str, kind: Number, unit: Picks | None = None, like: Picks | None = None
    ) -> None:
        """`unit`: the unit's own control, for the first number that it belongs to; `like`: for the others."""
        super().__init__(name, label)
        self.kind = kind
        self._unit: Words | None = None
        self.line.setInputMethodHints(Qt.InputMethodHint.ImhFormattedNumbersOnly)
        flow = Flow(self)
        flow.addWidget(Narrow(self.line))
        if unit is not None:
            flow.addWidget(unit)
        elif kind.unit or like is not None:
            self._unit = Words("", wraps=False)
            self._unit.setMinimumHeight(TARGET)
            flow.addWidget(self._unit)
            self._show_unit(say(kind.unit) if like is None else "")
        if like is not None:
            like.on_toggle(lambda: self._show_unit(like.words()))

    def _show_unit(self, unit: str) -> None:
        if self._unit is not None:
            self._unit.say(unit)
            self.line.setAccessibleDescription(unit)

    def show_value(self, value: Value) -> None:
        self.line.setText("" if isinstance(value, Absent) else plain(value))

    def read(self) -> Value:
        text = self.typed()
        return self.kind.typed(text) if text.strip() else ABSENT


class DateControl(LineControl):
    """A day, typed or stepped to."""

    def __init__(self, name: str, label: str, kind: Date, today: date, *, has_steps: bool = True) -> None:
        """`has_steps`: whether it is a day near today, which can be stepped to."""
        super().__init__(name, label, say("Nov 2026") if kind.month else say("28 Nov 2026"))
        self.line.setPlaceholderText(self.line.accessibleDescription())
        self.kind = kind
        self._today = today
        self.line.setInputMethodHints(Qt.InputMethodHint.ImhDate)
        self._is_near = has_steps
        self._read_as = Words("", wraps=False)
        self._read_as.setObjectName(f"read_as_{name}")
        flow = Flow(self)
        flow.addWidget(Narrow(self.line))
        steps = (
            (say("today"), None),
            (say("− 1 day"), -1),
            (say("+ 1 day"), 1),
            (say("+ 1 week"), 7),
        )
        for words, days in steps if has_steps else ():
            button = Button(words, f"step_{name}_{'today' if days is None else days}")
            button.setAccessibleName(f"{label}: {words}")
            button.clicked.connect(lambda _=False, step=days: self._step(step))
            flow.addWidget(button)
        flow.addWidget(self._read_as)

    def on_text(self) -> None:
        """Say how what is typed was read, as long as it can be read in one way."""
        found = self._readings()
        is_plain = found == (self.typed().strip(),)
        words = (
            say("read as {day}").format(day=day_words(found[0])) if len(found) == 1 and not is_plain else ""
        )
        self._read_as.say(words)
        self.touched()

    def _readings(self) -> tuple[str, ...]:
        months, near = [say(each) for each in MONTHS], [say(each) for each in NEAR]
        return readings(
            self.typed(), self._today, months, near, is_near=self._is_near, with_months=self.kind.month
        )

    def _step(self, days: int | None) -> None:
        found = self._readings()
        start = date.fromisoformat(found[0]) if found and is_date(found[0]) else self._today
        moved = self._today if days is None else start + timedelta(days=days)
        self.line.setText(moved.isoformat())

    def read(self) -> Value:
        text = self.typed().strip()
        if not text:
            return ABSENT
        found = self._readings()
        if len(found) > 1:
            days = [day_words(each) for each in found[:2]]
            raise Refused(say(TWO_WAYS).format(text=text, one=days[0], other=days[1]))
        return found[0] if found else text


class PartsControl(LineControl):
    """Words separated by commas, for lists of free text; JSON for what no other control can show."""

    def __init__(self, name: str, label: str, kind: Type, like: str = "") -> None:
        """`like`: an example of what may be typed, shown while nothing is."""
        super().__init__(name, label, like)
        self._kind = kind
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(Ringed(self.line))

    def show_value(self, value: Value) -> None:
        if isinstance(value, list) and all(isinstance(each, str) for each in value):
            self.line.setText(", ".join(value))
        else:
            from carelog.domain.entry import details_text

            self.line.setText("" if value is ABSENT else details_text(value))

    def read(self) -> Value:
        text = self.typed()
        return self._kind.typed(text) if text.strip() else ABSENT
