"""One sentence of a plan that is pressed to be changed: what changes it opens beneath it."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.analysis.sentences import TASKS, PlanLine
from carelog.domain.trouble import Refused
from carelog.text import mark, say
from carelog.ui.rowbutton import RowButton
from carelog.ui.stops import reach
from carelog.ui.theme import STEP

GLYPHS = {
    "limits/cuff_pressure": "cuff_pressure",
    "limits/vacuum": "suction",
    "limits": "observations",
    "quiet": "timeline",
    "valve_at_night": "valve",
    "cuff_down_at_night": "cuff_state",
    "catheter_fr": "suction",
    "spare_step_mm": "tube_change",
    "cuffed_spare": "box_check",
    "lead_days": "order",
    "reserve_days": "stock",
    "false_flags_a_year": "flags",
    "restarts": "course",
    "instructions": "note",
}
PRESS = mark("Press to change it")
Saying = Callable[[], tuple[PlanLine, str]]


def glyph_of(place: str) -> str:
    """The drawing beside a sentence, by its place in the plan."""
    field, _, own = place.partition("/")
    if field == TASKS and own:
        return own.partition(":")[0]
    return GLYPHS.get(place) or GLYPHS.get(field, "plan")


class SentenceRow(QWidget):
    """The sentence as a button; beneath it, while it is open, the controls."""

    def __init__(self, place: str, name: str, words: Saying) -> None:
        """`words` gives the sentence, and what may be said beneath it."""
        super().__init__()
        self.place = place
        self.when_opened: list[Callable[[SentenceRow], None]] = []
        self._words = words
        self._first: Callable[[], QWidget] | None = None
        self.button = RowButton("", name, glyph_of(place))
        self.button.setCheckable(True)
        self.button.setAccessibleDescription(say(PRESS))
        self.button.toggled.connect(self._on_toggled)
        self._holder = QWidget()
        self._inner = QVBoxLayout(self._holder)
        self._inner.setContentsMargins(4 * STEP, 0, 0, STEP)
        self._holder.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP)
        column.addWidget(self.button)
        column.addWidget(self._holder)

    def hold(self, *widgets: QWidget, first: Callable[[], QWidget]) -> None:
        """What changes it; `first` takes the focus when it opens."""
        for widget in widgets:
            self._inner.addWidget(widget)
        self._first = first

    def refresh(self) -> None:
        """Say the sentence as it stands now; what can't be read says why."""
        try:
            said, told = self._words()
            self.button.tell(said.words, told, soft=not said.is_set)
        except Refused as refused:
            self.button.tell(refused.sentence)

    def is_open(self) -> bool:
        """Whether what changes it can be seen."""
        return self.button.isChecked()

    def show_open(self, is_open: bool) -> None:
        """Open or close it."""
        self.button.setChecked(is_open)

    def holds(self, widget: QWidget) -> bool:
        """Whether a widget is among what changes it."""
        return self._holder.isAncestorOf(widget)

    def _on_toggled(self, is_open: bool) -> None:
        first = self._first() if is_open and self._first is not None else None
        self._holder.setVisible(is_open)
        if first is None:
            return
        for listener in self.when_opened:
            listener(self)
        reach(first, Qt.FocusReason.OtherFocusReason)
