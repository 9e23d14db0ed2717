"""The tasks of a plan as a list in words, with a way to add one and to take one out."""

from collections.abc import Mapping
from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.domain.entry import Json
from carelog.domain.field import CLOCK, Choice
from carelog.domain.kind import Draw
from carelog.domain.number import typed
from carelog.domain.trouble import Refused
from carelog.kinds import ALL, named_or_unknown
from carelog.text import say
from carelog.ui.button import Button
from carelog.ui.column import row
from carelog.ui.forms.control import ABSENT, Control, Value
from carelog.ui.forms.lines import Narrow
from carelog.ui.forms.picks import Option, Picks
from carelog.ui.naming import task_words
from carelog.ui.ringed import Line, Ringed
from carelog.ui.theme import Size
from carelog.ui.words import Words


def rhythm_words(task: Mapping[str, Any]) -> str:
    """How often: “every 8 h”, “at 08:00, 20:00”."""
    if "times" in task:
        return say("at {times}").format(times=", ".join(task["times"]))
    return say("every {hours}").format(hours=f"{task['every_h']}\N{NO-BREAK SPACE}h")


class TasksControl(Control):
    """Each task keeps all it holds; a new one is a kind, what it is about, and a rhythm."""

    def __init__(self, name: str, label: str) -> None:
        super().__init__()
        self.setObjectName(f"field_{name}")
        self._label = label
        self._tasks: list[dict[str, Json]] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._list = QWidget()
        self._column.addWidget(self._list)
        kinds: list[Option] = [
            (kind.name, kind.title)
            for kind in ALL
            if kind.tiles and (kind.draw in (Draw.DOINGS, Draw.READINGS) or kind.is_described_daily)
        ]
        self._kind = Picks("task_kind", say("Task"), kinds)
        self._kind.when_changed.append(self._show_where)
        self._where_holder = QWidget()
        self._where_column = QVBoxLayout(self._where_holder)
        self._where_column.setContentsMargins(0, 0, 0, 0)
        self._where: Picks | None = None
        self._every = self._line("task_every", say("Every so many hours"), say("8"))
        self._times = self._line("task_times", say("Or at times, like 08:00, 20:00"), say("08:00, 20:00"))
        self._message = Words("", Size.STRONG)
        self._lay_out()

    def _line(self, name: str, label: str, example: str) -> Line:
        line = Line(name, label)
        line.setPlaceholderText(example)
        return line

    def _lay_out(self) -> None:
        add = Button(say("Add this task"), "task_add")
        add.clicked.connect(self._add)
        every = Narrow(self._every)
        self._column.addWidget(Words(say("Add a task"), Size.STRONG))
        self._column.addWidget(self._kind)
        self._column.addWidget(self._where_holder)
        self._column.addWidget(
            row(
                Words(say("every"), wraps=False),
                every,
                Words(say("h, or at"), wraps=False),
                Ringed(self._times),
                add,
            )
        )
        self._column.addWidget(self._message)

    def _show_where(self) -> None:
        if self._where is not None:
            self._where.setParent(None)
            self._where = None
        name = self._kind.read()
        device = named_or_unknown(str(name)).field("device") if isinstance(name, str) else None
        if device is not None and isinstance(device.type, Choice):
            options = [(option.value, option.label) for option in device.type.options]
            self._where = Picks("task_device", say("Device"), options)
            self._where_column.addWidget(self._where)

    def _add(self) -> None:
        try:
            task = self._new_task()
        except Refused as refused:
            self._message.say(refused.sentence)
            return
        self._message.say("")
        self._tasks.append(task)
        self._show_list()
        self.touched()

    def _new_task(self) -> dict[str, Json]:
        kind = self._kind.read()
        if kind is ABSENT:
            raise Refused(say("Choose what the task is."))
        task: dict[str, Json] = {"kind": kind}
        device = self._where.read() if self._where is not None else ABSENT
        if device is not ABSENT:
            task["where"] = {"device": device}
        every, times = self._every.text().strip(), self._times.text().strip()
        if bool(every) == bool(times):
            raise Refused(say("Give either the hours or the times."))
        if every:
            task["every_h"] = typed(every)
            return task
        found = [each.strip() for each in times.split(",") if each.strip()]
        wrong = [each for each in found if CLOCK.problem(each)]
        if wrong:
            raise Refused(say("“{time}” isn't a time like 08:00.").format(time=wrong[0]))
        task["times"] = found
        return task

    def _show_list(self) -> None:
        self._column.removeWidget(self._list)
        self._list.setParent(None)
        self._list = QWidget()
        column = QVBoxLayout(self._list)
        column.setContentsMargins(0, 0, 0, 0)
        for number, task in enumerate(self._tasks):
            words = f"{task_words(str(task['kind']), task.get('where', {}))}, {rhythm_words(task)}"
            out = Button(say("Take out"), f"task_out_{number}")
            out.setAccessibleName(say("Take out: {task}").format(task=words))
            out.clicked.connect(lambda _=False, place=number: self._take_out(place))
            column.addWidget(row(out, Words(words, wraps=False)))
        self._column.insertWidget(0, self._list)

    def _take_out(self, place: int) -> None:
        del self._tasks[place]
        self._show_list()
        self.touched()

    def show_value(self, value: Value) -> None:
        self._tasks = [dict(task) for task in value] if isinstance(value, list) else []
        self._show_list()

    def read(self) -> Value:
        return [dict(task) for task in self._tasks] if self._tasks else ABSENT

    def typed(self) -> Json:
        return [dict(task) for task in self._tasks]

    def restore(self, typed: Json) -> None:
        self.show_value(typed)

    def focus(self) -> QWidget:
        return self._kind.focus()
