"""One thing that a plan may ask for: a row of rhythms to press, or, once asked for, its sentence."""

from collections.abc import Callable
from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.analysis.sentences import TASKS, PlanLine, every, task_sentence
from carelog.domain.entry import Details, Json
from carelog.domain.field import Number
from carelog.domain.moment import HOUR
from carelog.domain.number import typed
from carelog.domain.plan import Task, clock
from carelog.domain.trouble import Refused
from carelog.domain.units import plain
from carelog.text import mark, say
from carelog.ui.button import Button, Main
from carelog.ui.column import row
from carelog.ui.forms.control import ABSENT, Value
from carelog.ui.forms.lines import Narrow, NumberControl
from carelog.ui.forms.picks import Option, Picks
from carelog.ui.plan.row import SentenceRow
from carelog.ui.plan.span import SpanControl
from carelog.ui.plan.things import Thing
from carelog.ui.ringed import Line, Ringed
from carelog.ui.theme import STEP, Size
from carelog.ui.typed.lines import read_clock
from carelog.ui.words import Words

AS_PLAN, NEVER_QUIET, OWN = "plan", "none", "own"
QUIET: tuple[Option, ...] = (
    (AS_PLAN, mark("as the plan's quiet hours")),
    (NEVER_QUIET, mark("also in the quiet hours")),
    (OWN, mark("other quiet hours")),
)
KNOWN = ("every_h", "times", "quiet", "grace_min", "early_min")
_SUGGESTED = mark("Suggested: {rhythm}. {source}")
_ONE = mark("Give either the hours or the times.")
_MORE_THAN_0 = mark("The hours must be more than 0.")


class TaskEditor(QWidget):
    """How often, not when, and from when it is late; all that a task of a plan can say."""

    def __init__(self, thing: Thing, told: Callable[[], None], take_out: Callable[[], None]) -> None:
        super().__init__()
        self._thing = thing
        self._told = told
        self._base: dict[str, Json] = {}
        name = thing.name
        chips = [(hours, span(hours)) for hours in thing.rhythms]
        self._chips = Picks(f"{name}_rhythm", thing.title, chips)
        self._hours = self._line(f"task_every_{name}", say(mark("every so many hours")), "8")
        self._times = self._line(f"task_times_{name}", say(mark("at these times")), "08:00, 20:00")
        self._quiet = Picks(f"{name}_quiet", say(mark("Quiet hours")), QUIET)
        self._span = SpanControl(f"{name}_span", say(mark("Quiet hours")))
        minutes = Number(unit="min", low=0)
        self._grace = NumberControl(f"{name}_grace", say(mark("Overdue after")), minutes)
        self._early = NumberControl(f"{name}_early", say(mark("Counts from so long before")), minutes)
        self._before = row(
            Words(say(mark("counts from")), wraps=False),
            self._early,
            Words(say(mark("before (60 if nothing is said)")), soft=True, wraps=False),
        )
        self._chips.when_changed.append(self._on_chip)
        for control in (self._quiet, self._span, self._grace, self._early):
            control.when_changed.append(self._on_touched)
        out = Button.calling(say(mark("Don't ask for it")), f"task_out_{name}", take_out)
        out.setAccessibleName(say(mark("Don't ask for it: {task}")).format(task=thing.title))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP)
        for line in self._rows(out):
            column.addWidget(line)

    def _rows(self, out: QWidget) -> list[QWidget]:
        return [
            self._chips,
            row(
                Words(say(mark("every")), wraps=False),
                Narrow(self._hours),
                Words(say(mark("hours, or at")), wraps=False),
                Ringed(self._times),
            ),
            self._quiet,
            self._span,
            row(
                Words(say(mark("overdue after")), wraps=False),
                self._grace,
                Words(say(mark("(60 if nothing is said)")), soft=True, wraps=False),
            ),
            self._before,
            row(out),
        ]

    def _line(self, name: str, label: str, example: str) -> Line:
        line = Line(name, f"{self._thing.title}: {label}")
        line.setPlaceholderText(example)
        line.textEdited.connect(lambda _text: self._on_touched())
        return line

    def _on_chip(self) -> None:
        hours = self._chips.read()
        self._hours.setText(plain(hours) if isinstance(hours, int) else "")
        self._times.setText("")
        self._on_touched()

    def _on_touched(self) -> None:
        self._show()
        self._told()

    def _show(self) -> None:
        self._span.setVisible(self._quiet.read() == OWN)
        self._before.setVisible(bool(self._times.text().strip()))
        text = self._hours.text().strip()
        self._chips.show_value(int(text) if text.isdecimal() else ABSENT)

    def put(self, task: Details) -> None:
        """Show a task, whole; what isn't shown of it stays in it."""
        self._base = dict(task)
        hours = task.get("every_h")
        self._hours.setText("" if hours is None else plain(hours))
        self._times.setText(", ".join(task.get("times", ())))
        quiet = task.get("quiet", ABSENT)
        self._quiet.show_value(AS_PLAN if quiet is ABSENT else NEVER_QUIET if quiet is None else OWN)
        self._span.show_value(quiet if isinstance(quiet, list) else ABSENT)
        self._grace.show_value(task.get("grace_min", ABSENT))
        self._early.show_value(task.get("early_min", ABSENT))
        self._show()

    def task(self) -> dict[str, Any]:
        """The task as it stands; `Refused` for what can't be read."""
        found = {name: each for name, each in self._base.items() if name not in KNOWN}
        found |= self._rhythm()
        found |= self._quiet_said()
        for name, control in (("grace_min", self._grace), ("early_min", self._early)):
            value = control.read()
            if value is not ABSENT:
                problem = control.kind.problem(value)
                if problem:
                    raise Refused(f"{self._thing.title}: {say(mark('the minutes'))} {problem}.")
                found[name] = value
        return found

    def _rhythm(self) -> dict[str, Any]:
        hours, times = self._hours.text().strip(), self._times.text().strip()
        if bool(hours) == bool(times):
            raise Refused(f"{self._thing.title}: {say(_ONE)}")
        if not hours:
            clocks = [read_clock(each) for each in times.split(",") if each.strip()]
            return {"times": [f"{each:%H:%M}" for each in clocks if each is not None]}
        value = typed(hours)
        if value <= 0:
            raise Refused(f"{self._thing.title}: {say(_MORE_THAN_0)}")
        return {"every_h": value}

    def _quiet_said(self) -> dict[str, Any]:
        chosen = self._quiet.read()
        if chosen == NEVER_QUIET:
            return {"quiet": None}
        hours: Value = self._span.read() if chosen == OWN else ABSENT
        return {} if hours is ABSENT else {"quiet": hours}

    def typed(self) -> Json:
        """All that was typed, valid or not."""
        lines = [self._hours.text(), self._times.text(), self._quiet.typed(), self._span.typed()]
        return [*lines, self._grace.typed(), self._early.typed()]

    def restore(self, typed: Json) -> None:
        """Put back what `typed` gave."""
        hours, times, quiet, span, grace, early = typed
        self._hours.setText(str(hours))
        self._times.setText(str(times))
        self._quiet.restore(quiet)
        self._span.restore(span)
        self._grace.restore(grace)
        self._early.restore(early)
        self._show()

    def focus(self) -> QWidget:
        """Where changing it begins."""
        return self._chips.focus()


class TaskRow(QWidget):
    """A thing that may be asked for, in its place whether it is or not; its parts are made when seen."""

    def __init__(
        self, thing: Thing, told: Callable[[], None], quiet: Callable[[], Json], *, is_adult: bool
    ) -> None:
        """`told` when it is changed; `quiet` gives the plan's own quiet hours, None for none."""
        super().__init__()
        self.thing = thing
        self.is_asked = False
        self._told, self._quiet, self._is_adult = told, quiet, is_adult
        self._task: dict[str, Any] = {}
        self._editor: TaskEditor | None = None
        self._offer: QWidget | None = None
        place = f"{TASKS}/{Task(thing.kind, thing.where).key}"
        self.sentence = SentenceRow(place, f"task_{thing.name}", self._words)
        self.sentence.hold(first=lambda: self._edited().focus())
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.sentence)
        self.sentence.hide()
        self.hide()

    def _edited(self) -> TaskEditor:
        """Its editor, made once."""
        if self._editor is None:
            self._editor = TaskEditor(self.thing, self._on_edited, self.take_out)
            self._editor.put(self._task)
            self.sentence.hold(self._editor, first=self._editor.focus)
        return self._editor

    def _offered(self) -> QWidget:
        """Its name, a button a rhythm, and what is published of it."""
        suggested = self.thing.suggested if self._is_adult else None
        name = say(mark("{task} every")).format(task=self.thing.title)
        buttons: list[QWidget] = [Words(name, Size.STRONG, wraps=False)]
        for hours in self.thing.rhythms:
            made_by = Main if hours == suggested else Button
            chip = made_by(span(hours), f"ask_{self.thing.name}_{hours}")
            self._connect(chip, every(hours * HOUR), {"every_h": hours})
            buttons.append(chip)
        other = Button(say(mark("another …")), f"ask_{self.thing.name}_other")
        self._connect(other, other.words, {})
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(row(*buttons, other))
        source = self.thing.source if self._is_adult else ""
        if suggested is not None:
            source = say(_SUGGESTED).format(rhythm=every(suggested * HOUR), source=source)
        if source:
            column.addWidget(Words(source, soft=True))
        return holder

    def _connect(self, chip: Button, words: str, rhythm: Details) -> None:
        chip.setAccessibleName(f"{self.thing.title} {words}")
        chip.clicked.connect(lambda: self._ask(rhythm))

    def _ask(self, rhythm: Details) -> None:
        """Ask for it so; without a rhythm its editor asks for one."""
        where = {"where": dict(self.thing.where)} if self.thing.where else {}
        self.put({"kind": self.thing.kind, **where, **rhythm})
        self.sentence.show_open(not rhythm)
        if rhythm:
            self.sentence.button.setFocus()
        self._told()

    def put(self, task: Details | None) -> None:
        """Show it as asked for like this; None: it isn't."""
        self.is_asked, self._task = task is not None, dict(task or {})
        if self._editor is not None:
            self._editor.put(self._task)
        if task is None:
            self.sentence.show_open(False)
        self.sentence.setVisible(self.is_asked)
        if self._offer is not None:
            self._offer.setVisible(not self.is_asked)
        self.sentence.refresh()

    def task(self) -> dict[str, Any]:
        """The task as it stands; `Refused` for what can't be read."""
        if self._editor is not None:
            return self._editor.task()
        if "every_h" not in self._task and "times" not in self._task:
            raise Refused(f"{self.thing.title}: {say(_ONE)}")
        return dict(self._task)

    def typed(self) -> Json:
        """The task as it was put in, and what was typed since, valid or not."""
        return [dict(self._task), self._editor.typed() if self._editor is not None else None]

    def restore(self, typed: Json) -> None:
        """Put back what `typed` gave."""
        task, lines = typed
        self.put(task)
        if lines is not None:
            self._edited().restore(lines)
        self.sentence.refresh()

    def focus(self) -> QWidget:
        """Where what is wrong with it is put right."""
        return self._edited().focus()

    def take_out(self) -> None:
        """The plan doesn't ask for it any more; its rhythms can be pressed again."""
        self.put(None)
        self._told()

    def show_offer(self, is_shown: bool) -> None:
        """Whether it is to be seen while it isn't asked for."""
        if is_shown and self._offer is None:
            self._offer = self._offered()
            self._column.addWidget(self._offer)
            self._offer.setVisible(not self.is_asked)
        self.setVisible(self.is_asked or is_shown)

    def _on_edited(self) -> None:
        self.sentence.refresh()
        self._told()

    def _words(self) -> tuple[PlanLine, str]:
        quiet = self._quiet()
        hours = (clock(quiet[0]), clock(quiet[1])) if isinstance(quiet, list) else None
        words = task_sentence(Task.of(self.task(), hours), {"quiet": quiet})
        return PlanLine(self.sentence.place, words), ""


def span(hours: int) -> str:
    """An interval on a small button: “8 h”, “7 days”."""
    if hours > 48 and hours % 24 == 0:
        return say(mark("{days} days")).format(days=hours // 24)
    return say(mark("{hours} h")).format(hours=hours).replace(" ", "\N{NO-BREAK SPACE}")
