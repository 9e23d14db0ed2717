"""The spare-tube box, item by item: present, missing or opened, and the expiry where there is one."""

from collections.abc import Mapping

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.domain.entry import Json
from carelog.domain.field import Choice
from carelog.kinds.words import ITEM
from carelog.text import mark, say
from carelog.ui.flow import Flow
from carelog.ui.forms.control import ABSENT, Control, Value
from carelog.ui.forms.lines import Narrow
from carelog.ui.forms.picks import Option, Picks
from carelog.ui.naming import sentence
from carelog.ui.ringed import Line
from carelog.ui.theme import Size
from carelog.ui.words import Words

FIELDS = ("present", "missing", "opened", "expiries")
STATES: tuple[Option, ...] = (
    ("present", mark("present")),
    ("missing", mark("missing")),
    ("opened", mark("opened")),
)


class ItemsControl(Control):
    """The fields `present`, `missing`, `opened` and `expiries` of a box check as one list of items.

    An item may stand in several lists (present and opened); what nobody touched isn't recorded.
    """

    def __init__(self, items: Choice = ITEM) -> None:
        super().__init__()
        self.setObjectName("field_items")
        self._states: dict[str, Picks] = {}
        self._expiries: dict[str, Line] = {}
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        for option in items.options:
            self._add(layout, str(option.value), sentence(say(option.label)))

    def _add(self, layout: QVBoxLayout, item: str, words: str) -> None:
        layout.addWidget(Words(words, Size.STRONG))
        states = Picks(f"state_{item}", words, STATES, is_many=True)
        states.when_changed.append(self.touched)
        expiry = Line(f"field_expiry_{item}", say("{item}: expiry").format(item=words))
        expiry.setPlaceholderText(say("expiry"))
        expiry.textChanged.connect(lambda _text: self.touched())
        ringed = Narrow(expiry)
        row = QWidget()
        flow = Flow(row)
        flow.addWidget(states)
        flow.addWidget(ringed)
        layout.addWidget(row)
        self._states[item], self._expiries[item] = states, expiry

    def put_details(self, details: Mapping[str, Json]) -> None:
        """Show the four fields of a recorded check."""
        self.put({name: details[name] for name in FIELDS if name in details} or ABSENT)

    def show_value(self, value: Value) -> None:
        given = value if isinstance(value, dict) else {}
        for item, states in self._states.items():
            found = [name for name, _words in STATES if item in given.get(name, ())]
            states.put(found or ABSENT)
            self._expiries[item].setText(str(given.get("expiries", {}).get(item, "")))

    def read(self) -> Value:
        found: dict[str, Json] = {}
        for item, states in self._states.items():
            chosen = states.value()
            for name in chosen if isinstance(chosen, list) else []:
                found.setdefault(name, []).append(item)
        texts = {item: line.text().strip() for item, line in self._expiries.items()}
        expiries = {item: text for item, text in texts.items() if text}
        if expiries:
            found["expiries"] = expiries
        return found or ABSENT

    def typed(self) -> Json:
        return {item: [states.typed(), self._expiries[item].text()] for item, states in self._states.items()}

    def restore(self, typed: Json) -> None:
        for item, (states, expiry) in typed.items():
            if item in self._states:
                self._states[item].restore(states)
                self._expiries[item].setText(expiry)

    def focus(self) -> QWidget:
        return next(iter(self._states.values())).focus()
