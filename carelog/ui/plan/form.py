"""The one editor of a plan: sentences pressed to be changed, what changes, what it would have meant."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.analysis.limits import limit_names, limit_of, range_words
from carelog.analysis.plans import NO_ENTRY
from carelog.analysis.published import odd_limits
from carelog.analysis.revision import revision
from carelog.analysis.sentences import (
    LIMITS,
    PARTS,
    TASKS,
    PlanLine,
    field_sentence,
    limit_sentences,
)
from carelog.domain.entry import Details, Entry, Json
from carelog.domain.kind import Kind
from carelog.domain.moment import DAY_24_H, Moment
from carelog.domain.plan import Plan
from carelog.domain.trouble import Refused
from carelog.text import mark, say
from carelog.ui.access import Access
from carelog.ui.button import Button
from carelog.ui.column import row
from carelog.ui.columns import WideColumns
from carelog.ui.forms.build import Builder
from carelog.ui.forms.control import Absent, Control
from carelog.ui.forms.moment import MomentControl
from carelog.ui.forms.nested import GroupControl
from carelog.ui.forms.page import WHY, Form
from carelog.ui.plan.begun import AROUND, begun
from carelog.ui.plan.defaults import DEFAULTS, Default
from carelog.ui.plan.foot import PlanFoot
from carelog.ui.plan.meant import MeantPanel
from carelog.ui.plan.row import Saying, SentenceRow
from carelog.ui.plan.span import SpanControl
from carelog.ui.plan.tasks import TasksControl
from carelog.ui.plan.whose import SetBy
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder
from carelog.ui.ringed import Scrolled
from carelog.ui.theme import STEP, Size
from carelog.ui.times import day_name
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held

FROM = "from"
_CHANGES = mark("What changes: {words}.")
_NOTHING = mark("Nothing is changed yet.")
_SUGGESTED = mark("suggested: {range}")
_TAKE = mark("Take {range}")
_FROM_NOW = mark("In force from the moment it is saved")
_FROM_THEN = mark("In force from {day}, {time}")
_LONG_PAST = mark("It counts from {day}. What was written since then is held against it.")
_OVERTAKEN = mark("Another plan came meanwhile. Read what this one changes of it.")
_SAVE_AGAIN = mark("Is it right? Save again to record it so.")


class PlanForm(Form):
    """A form whose fields are sentences; each opens what changes it where it stands."""

    controls: dict[str, Control]

    def __init__(
        self,
        access: Access,
        present: Present,
        recorder: Recorder,
        kind: Kind,
        held: "Held | None" = None,
        given: Details | None = None,
        *,
        done: Callable[[Entry], None],
    ) -> None:
        """A new plan begins with the one in force, unless it is said what it begins with."""
        picture = present.picture
        if given is None and picture is not None:
            given = begun(picture.plan)
        self._began_with = picture.plan if picture is not None else None
        super().__init__(access, present, recorder, kind, held, given, done=done)

    def made_controls(self) -> dict[str, Control]:
        self._lines: list[SentenceRow] = []
        home = self._present.home()
        self._tasks = TasksControl(
            TASKS, say(mark("What it asks for")), quiet=self._quiet, is_adult=self._is_adult()
        )
        own = {
            FROM: MomentControl(FROM, say(mark("In force from")), home),
            "set_by": SetBy(self._present, self._recorder),
            "quiet": SpanControl("quiet", say(mark("Quiet hours"))),
            TASKS: self._tasks,
        }
        return Builder(self.kind, home, home.day(self._present.now()), own).controls()

    def _is_adult(self) -> bool:
        picture = self._present.picture
        return picture is not None and (
            picture.person.is_adult(picture.home.day(self._present.now())) is True
        )

    def _quiet(self) -> Json:
        try:
            value = self.controls["quiet"].value()
        except (Refused, AttributeError):  # while the controls are made there is none yet
            return None
        return None if isinstance(value, Absent) else value

    # Building -------------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        body = self._body = QWidget()
        columns = self._columns = WideColumns(body, 2 * STEP)
        columns.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        title = say(self.kind.title)
        heading = say(mark("Change: {title}")).format(title=title) if self.held else title
        columns.add_across(Words(heading, Size.HEAD))
        foot = self._foot_of_plan = self._made_foot()
        columns.add_across(foot.above)
        columns.add_across(foot.whole)
        self._meant = MeantPanel(self._access, self._present)
        columns.add_across(self._meant)
        columns.add_across(self._held(say(mark("Set by (needed)")), self.controls["set_by"]))
        for words, fields in PARTS:
            columns.addWidget(self._part(say(words), fields))
        columns.addWidget(self._last_part())
        self._scrolled = Scrolled(body, title)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._scrolled, 1)
        layout.addWidget(foot)
        for unasked in (self.when, self._paper):
            unasked.setParent(self)
            unasked.hide()

    @staticmethod
    def _held(words: str, *widgets: QWidget) -> QWidget:
        """Widgets under a heading."""
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP)
        for widget in (Words(words, Size.NAME, heading=True), *widgets):
            column.addWidget(widget)
        return holder

    def _part(self, words: str, fields: tuple[str, ...] | Any) -> QWidget:
        widgets: list[QWidget] = []
        for name in fields:
            if name == TASKS:
                self._tasks.when_opened.append(self._on_opened)
                widgets.append(self._tasks)
            elif name == LIMITS:
                widgets += self._limits()
            else:
                widgets.append(self._row(name, self._said_of(name), self.controls[name]))
        return self._held(words, *widgets)

    def _row(self, place: str, said: Saying, control: Control, *more: QWidget) -> SentenceRow:
        made = SentenceRow(place, f"say_{place.rpartition('/')[2]}", said)
        made.hold(control, *more, first=control.focus)
        made.when_opened.append(self._on_opened)
        self._lines.append(made)
        return made

    def _said_of(self, name: str) -> Saying:
        def said() -> tuple[PlanLine, str]:
            value = self.controls[name].value()
            given = {} if isinstance(value, Absent) else {name: value}
            return field_sentence(name, given), ""

        return said

    def _limits(self) -> list[QWidget]:
        group = self.controls[LIMITS]
        assert isinstance(group, GroupControl)
        group.setParent(self)
        group.hide()
        offered = {limit: each for each in DEFAULTS for limit in each.puts.get(LIMITS, {})}
        made: list[QWidget] = []
        for name, _label in limit_names():
            default = offered.get(name) if self._is_adult() else None
            control = group.parts[name]
            more = self._suggestion(name, control, default) if default is not None else ()
            made.append(self._row(f"{LIMITS}/{name}", self._said_of_limit(name, default), control, *more))
        return made

    def _said_of_limit(self, name: str, default: Default | None) -> Saying:
        def said() -> tuple[PlanLine, str]:
            group = self.controls[LIMITS]
            assert isinstance(group, GroupControl)
            value = group.parts[name].value()
            given = {name: value} if isinstance(value, dict) and set(value) - {"unit"} else {}
            found = limit_sentences(given, is_adult=self._is_adult())
            words = next(each for each in found if each.place == f"{LIMITS}/{name}")
            is_offered = default is not None and not words.is_set
            return words, say(_SUGGESTED).format(range=_range(name, default)) if is_offered else ""

        return said

    def _suggestion(self, name: str, control: Control, default: Default) -> tuple[QWidget, ...]:
        def take() -> None:
            control.put(default.puts[LIMITS][name])
            control.touched()

        words = say(_TAKE).format(range=_range(name, default))
        return row(Button.calling(words, f"take_{name}", take)), Words(say(default.source), soft=True)

    def _last_part(self) -> QWidget:
        """From when, and a note; of a change also why."""
        begin = self._row(
            FROM,
            self._said_from,
            self.controls[FROM],
            Words(say(mark("A day and a time, like 2026-11-28 and 08:00. Empty: at once.")), soft=True),
        )
        self._why = self._held(say(WHY), self._reason)
        note = Words(self._note_label, Size.STRONG)
        made = self._held(say(mark("From when")), begin, note, self._note, self._why)
        self.show_reason(self.held is not None and not self._is_slip(self.held))
        return made

    def show_reason(self, is_shown: bool) -> None:
        self._why.setVisible(is_shown)

    def _said_from(self) -> tuple[PlanLine, str]:
        value = self.controls[FROM].value()
        if isinstance(value, Absent):
            return PlanLine(FROM, say(_FROM_NOW)), ""
        local = self._present.home().local(Moment.read(value).instant)
        words = say(_FROM_THEN).format(day=day_name(local.date()), time=f"{local:%H:%M}")
        return PlanLine(FROM, words), ""

    def _made_foot(self) -> PlanFoot:
        self.make_acts()
        look = Button.calling(say(mark("What would it have meant?")), "plan_meant", self.look_back)
        return PlanFoot(self._message, self.save_button, (look, self.about, self.away))

    def _on_opened(self, opened: SentenceRow) -> None:
        """One is open at a time."""
        for each in (*self._lines, *self._tasks.sentences()):
            if each is not opened and each.is_open():
                each.show_open(False)

    def open_line(self, place: str) -> None:
        """Open the sentence of a place in the plan."""
        name, _, own = place.partition("/")
        rows = self._tasks.sentences() if name == TASKS else self._lines
        for each in rows:
            if each.place == place:
                each.show_open(True)
                self._scroll_to(each)
                return
        if name == TASKS and not own:
            self._tasks.offer()

    def _scroll_to(self, line: SentenceRow) -> None:
        """Show a line with the sentence at the top: what changes it may be higher than the window."""
        self._columns.activate()
        top = line.mapTo(self._body, QPoint(0, 0)).y()
        self._scrolled.verticalScrollBar().setValue(max(top - STEP, 0))

    # What stands in it ----------------------------------------------------------------------------

    def _put(self, details: Mapping[str, Json], note: str) -> None:
        super()._put(details, note)
        self._refresh()

    def changed(self) -> None:
        super().changed()
        self._meant.outdate()
        self._refresh()

    def restore(self, typed: Mapping[str, Json], note: str, reason: str) -> None:
        super().restore(typed, note, reason)
        self._refresh()

    def _refresh(self) -> None:
        """Every sentence as it stands, and what it changes."""
        for each in self._lines:
            each.refresh()
        self._tasks.refresh()
        self._foot_of_plan.say_change(self.change_words())

    def change_words(self) -> str:
        """What the plan as it stands changes, in a sentence; or why that can't be said."""
        try:
            details = self._checked()
        except Refused as refused:
            return refused.sentence
        before = self._before()
        if begun(before) == {name: each for name, each in details.items() if name not in AROUND[:2]}:
            return say(_NOTHING)
        return say(_CHANGES).format(words=revision(before, Plan.of(NO_ENTRY, self._present.now(), details)))

    def _checked(self) -> dict[str, Json]:
        """The details, where they are a plan but for who set it."""
        details = {**self.details(), "set_by": self._set_by() or "?"}
        found = self.kind.problems(details)
        if found:
            raise Refused(f"{self._problem(found[0])}.")
        return details

    def _set_by(self) -> str:
        value = self.controls["set_by"].value()
        return value if isinstance(value, str) else ""

    def _before(self) -> Plan | None:
        if self.held is not None:
            return Plan.of(NO_ENTRY, self.held.time, self.held.entry.details)
        picture = self._present.picture
        return picture.plan if picture is not None else None

    def odd(self, details: Mapping[str, Json], moment: Moment) -> list[str]:
        found = odd_limits(details.get(LIMITS, {}), is_adult=self._is_adult())
        found += [*self._long_past(details), *self._overtaken()]
        asked = [*found, say(_SAVE_AGAIN)] if found else []
        return [*asked, *super().odd(details, moment)]

    def _long_past(self, details: Mapping[str, Json]) -> list[str]:
        """What was recorded since then would be held against another plan: a day is easily mistyped."""
        if FROM not in details:
            return []
        since = Moment.read(details[FROM]).instant
        if since > self._present.now() - DAY_24_H:
            return []
        return [say(_LONG_PAST).format(day=day_name(self._present.home().day(since)))]

    def _overtaken(self) -> list[str]:
        """Another plan came while this one was written: saving it takes back what that one changed."""
        before = self._before()
        if self.held is not None or (before and before.entry) == (
            self._began_with and self._began_with.entry
        ):
            return []
        self._refresh()
        return [say(_OVERTAKEN)]

    def look_back(self) -> None:
        """Work out the last two weeks under this plan, and show them above its sentences."""
        try:
            details = self._checked()
        except Refused as refused:
            self._refuse(refused.sentence, self.save_button)
            return
        self._meant.ask(details)
        self._scrolled.verticalScrollBar().setValue(0)

    def say(self, sentence: str) -> None:
        super().say(sentence)
        self._foot_of_plan.say_message(sentence)

    def _refuse(self, sentence: str, where: QWidget) -> None:
        """What is to be put right is opened first: nothing that is hidden takes the focus."""
        for each in (*self._lines, *self._tasks.sentences()):
            if each.holds(where):
                each.show_open(True)
        super()._refuse(sentence, where)


def _range(name: str, default: Default | None) -> str:
    limit = limit_of(name, default.puts[LIMITS][name]) if default is not None else None
    return range_words(limit) if limit is not None else ""
