"""Fields within a field, and a reference to another entry picked from a list in words."""

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.domain.entry import Json
from carelog.domain.field import Group
from carelog.text import say
from carelog.ui.flow import Flow
from carelog.ui.forms.control import ABSENT, Control, Value
from carelog.ui.forms.labels import label
from carelog.ui.forms.lines import NumberControl
from carelog.ui.forms.picks import Option, Picks
from carelog.ui.words import Words


class GroupControl(Control):
    """A nested object; names that it doesn't know stay in it."""

    def __init__(self, name: str, kind: Group, make: "Callable[[str, Group], dict[str, Control]]") -> None:
        super().__init__()
        self.setObjectName(f"field_{name}")
        self._unknown: dict[str, Json] = {}
        self._controls = make(name, kind)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 0, 0, 0)
        line = QWidget()
        flow = Flow(line)
        are_small = all(isinstance(each, NumberControl | Picks) for each in self._controls.values())
        for field in kind.fields:
            control = self._controls.get(field.name)
            if control is None:
                continue
            control.when_changed.append(self.touched)
            if control.parentWidget() is not None:
                continue
            words = Words(label(field), wraps=False)
            if isinstance(control, GroupControl) or not are_small:
                layout.addWidget(words)
                layout.addWidget(control)
            else:
                pair = QWidget()
                both = Flow(pair)
                both.addWidget(words)
                both.addWidget(control)
                flow.addWidget(pair)
        layout.addWidget(line)

    @property
    def parts(self) -> Mapping[str, Control]:
        """The controls in it, which may be shown elsewhere one by one."""
        return self._controls

    def show_value(self, value: Value) -> None:
        given = value if isinstance(value, dict) else {}
        self._unknown = {name: each for name, each in given.items() if name not in self._controls}
        for name, control in self._controls.items():
            control.put(given.get(name, ABSENT))

    def read(self) -> Value:
        found = {name: control.value() for name, control in self._controls.items()}
        given = {**self._unknown, **{name: each for name, each in found.items() if each is not ABSENT}}
        return given or ABSENT

    def typed(self) -> Json:
        return {name: control.typed() for name, control in self._controls.items()}

    def restore(self, typed: Json) -> None:
        for name, control in self._controls.items():
            if name in typed:
                control.restore(typed[name])

    def focus(self) -> QWidget:
        return next(iter(self._controls.values())).focus()


class ReferenceControl(Control):
    """One of the newest entries of a kind, each in words; the one referred to is always among them."""

    def __init__(self, name: str, label_words: str) -> None:
        super().__init__()
        self.setObjectName(f"field_{name}")
        self._name = name
        self._label = label_words
        self._wanted: Value = ABSENT
        self._picks: Picks | None = None
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._words = Words(say("Not read yet"), soft=True)
        self._layout.addWidget(self._words)

    def offer(self, entries: Sequence[Option]) -> None:
        """Show the entries that can be picked, as ids and words."""
        chosen = self.value()
        known = {value for value, _words in entries}
        if isinstance(chosen, str) and chosen not in known:
            entries = [*entries, (chosen, say("another entry, not in this list"))]
        if self._picks is not None:
            self._picks.setParent(None)
        self._words.say("" if entries else say("There is none to pick from"))
        self._words.setVisible(not entries)
        self._picks = Picks(self._name, self._label, entries) if entries else None
        if self._picks is not None:
            self._picks.setObjectName(f"list_{self._name}")
            self._picks.when_changed.append(self._on_pick)
            self._picks.show_value(chosen)
            self._layout.addWidget(self._picks)
            self._picks.show()

    def _on_pick(self) -> None:
        if self._picks is not None:
            self._wanted = self._picks.read()
        self.touched()

    def show_value(self, value: Value) -> None:
        self._wanted = value
        if self._picks is not None:
            self._picks.show_value(value)

    def read(self) -> Value:
        return self._wanted

    def typed(self) -> Json:
        return self._wanted if isinstance(self._wanted, str) else ""

    def restore(self, typed: Json) -> None:
        self.show_value(typed or ABSENT)

    def focus(self) -> QWidget:
        return self._picks.focus() if self._picks is not None else self
