"""All that a plan asks for, as sentences; what it doesn't ask for is one press away."""

from collections.abc import Callable

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.domain.entry import Details, Json
from carelog.domain.trouble import Refused
from carelog.text import mark, say
from carelog.ui.button import Button
from carelog.ui.column import row
from carelog.ui.forms.control import ABSENT, Control, Value
from carelog.ui.plan.row import SentenceRow
from carelog.ui.plan.task import TaskRow
from carelog.ui.plan.things import USUAL, Thing, further, key_of_task
from carelog.ui.theme import STEP


def _no_quiet() -> Json:
    return None


class TasksControl(Control):
    """One row a thing, each in its place; a new one is asked for by one press on its rhythm."""

    def __init__(
        self, name: str, label: str, *, quiet: Callable[[], Json] = _no_quiet, is_adult: bool = False
    ) -> None:
        """`quiet` gives the plan's quiet hours as they stand."""
        super().__init__()
        self.setObjectName(f"field_{name}")
        self.setAccessibleName(label)
        self.when_opened: list[Callable[[SentenceRow], None]] = []
        self._quiet, self._is_adult = quiet, is_adult
        self._order: list[str] = []
        """The keys of the tasks in the order of the plan that was put in, then as they were added."""
        self._is_offering = self._has_more = False
        self.rows: dict[str, TaskRow] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(STEP)
        for thing in USUAL:
            self._add(thing)
        self._offer = Button.calling(say(mark("Ask for something else …")), "task_add", self._on_offer)
        self._more = Button.calling(say(mark("More things …")), "task_more", self._on_more)
        self._column.addWidget(row(self._offer, self._more))
        self._show_rows()

    def _add(self, thing: Thing) -> TaskRow:
        made = TaskRow(thing, lambda: self._on_row(thing.key), self._quiet, is_adult=self._is_adult)
        made.sentence.when_opened.append(self._on_opened)
        self._column.insertWidget(len(self.rows), made)
        self.rows[thing.key] = made
        return made

    def _on_opened(self, opened: SentenceRow) -> None:
        for listener in self.when_opened:
            listener(opened)

    def _on_row(self, key: str) -> None:
        if key not in self._order:
            self._order.append(key)
        self._show_rows()
        self.touched()

    def _on_offer(self) -> None:
        self._is_offering = not self._is_offering
        self._show_rows()

    def offer(self) -> None:
        """Show what isn't asked for."""
        self._is_offering = True
        self._show_rows()

    def _on_more(self) -> None:
        self._has_more = True
        for thing in further():
            if thing.key not in self.rows:
                self._add(thing)
        self._show_rows()

    def _show_rows(self) -> None:
        asked = [each for each in self.rows.values() if each.is_asked]
        is_offering = self._is_offering or not asked
        for each in self.rows.values():
            each.show_offer(is_offering)
        self._is_offering = is_offering
        words = mark("That is all") if is_offering else mark("Ask for something else …")
        self._offer.setText(say(words))
        self._offer.setVisible(bool(asked))
        self._more.setVisible(is_offering and not self._has_more)

    def refresh(self) -> None:
        """The plan's own quiet hours are others."""
        for each in self.rows.values():
            if each.is_asked:
                each.sentence.refresh()

    def sentences(self) -> list[SentenceRow]:
        """The rows that are asked for."""
        return [each.sentence for each in self.rows.values() if each.is_asked]

    def _row_of(self, task: Details) -> TaskRow:
        key = key_of_task(task)
        return self.rows.get(key) or self._add(Thing(task["kind"], task.get("where", {})))

    def show_value(self, value: Value) -> None:
        tasks = value if isinstance(value, list) else []
        for each in self.rows.values():
            each.put(None)
        for task in tasks:
            self._row_of(task).put(task)
        self._order = [key_of_task(task) for task in tasks]
        self._is_offering = False
        self._show_rows()

    def _asked(self) -> list[TaskRow]:
        return [self.rows[key] for key in self._order if self.rows[key].is_asked]

    def read(self) -> Value:
        found = [each.task() for each in self._asked()]
        return found or ABSENT

    def typed(self) -> Json:
        return [each.typed() for each in self._asked()]

    def restore(self, typed: Json) -> None:
        self.show_value([task for task, _lines in typed])
        for each, kept in zip(self._asked(), typed, strict=True):
            each.restore(kept)

    def focus(self) -> QWidget:
        """The first task that can't be read; else the first of all."""
        for each in self._asked():
            try:
                each.task()
            except Refused:
                return each.focus()
        return next((each.sentence.button for each in self._asked()), self._offer)
