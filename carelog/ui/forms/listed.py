"""Lists in the household's own words: one a line, or beside choices that are pressed."""

from PySide6.QtWidgets import QVBoxLayout

from carelog.domain.either import ChoiceOrText
from carelog.domain.entry import Json
from carelog.domain.field import Text
from carelog.text import say
from carelog.ui.forms.control import ABSENT, Control, Value
from carelog.ui.forms.lines import WordsControl
from carelog.ui.forms.picks import Picks


class LinesControl(WordsControl):
    """A list of texts, one a line."""

    def __init__(self, name: str, label: str) -> None:
        super().__init__(name, label, Text(long=True))

    def show_value(self, value: Value) -> None:
        super().show_value("\n".join(value) if isinstance(value, list) else ABSENT)

    def read(self) -> Value:
        lines = [line.strip() for line in str(self.typed()).splitlines()]
        return [line for line in lines if line] or ABSENT


class ItemsAndLines(Control):
    """Items that are pressed, and lines of the household's own beneath them."""

    def __init__(self, name: str, label: str, kind: ChoiceOrText) -> None:
        super().__init__()
        self.setObjectName(f"field_{name}")
        options = [(option.value, option.label) for option in kind.choice.options]
        self._known = [value for value, _words in options]
        self._picks = Picks(f"{name}_items", label, options, is_many=True)
        self._lines = LinesControl(f"{name}_lines", say("{label}: own words, one a line").format(label=label))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        for control in (self._picks, self._lines):
            control.when_changed.append(self.touched)
            layout.addWidget(control)

    def show_value(self, value: Value) -> None:
        given = value if isinstance(value, list) else []
        self._picks.show_value([each for each in given if each in self._known])
        self._lines.show_value([each for each in given if each not in self._known] or ABSENT)

    def read(self) -> Value:
        parts = (self._picks.read(), self._lines.read())
        return [each for part in parts if isinstance(part, list) for each in part] or ABSENT

    def typed(self) -> Json:
        return [self._picks.typed(), self._lines.typed()]

    def restore(self, typed: Json) -> None:
        self._picks.restore(typed[0])
        self._lines.restore(typed[1])
