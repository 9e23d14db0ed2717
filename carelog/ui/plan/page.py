"""The plan's page: the plan in force in words, a way to change it, and the plans before."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from carelog.analysis.limits import limits_of_plan
from carelog.analysis.plans import plans
from carelog.analysis.revision import revision_of
from carelog.domain.entry import Details
from carelog.domain.plan import Plan
from carelog.kinds.plan import PLAN
from carelog.text import say
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.button import Button, Main
from carelog.ui.column import ColumnView
from carelog.ui.naming import sentence, task_words
from carelog.ui.newest import Newest
from carelog.ui.plan.tasks import rhythm_words
from carelog.ui.present import Present
from carelog.ui.theme import Size

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held
    from carelog.app.ports import Record

SHOWN = (
    "restarts",
    "false_flags_a_year",
    "catheter_fr",
    "spare_step_mm",
    "cuffed_spare",
    "lead_days",
    "reserve_days",
)


class PlanPage(ColumnView):
    """A change is a new plan, whole, with who set it."""

    def __init__(
        self,
        access: Access,
        present: Present,
        open_form: Callable[[str, Details | None], None],
        open_entry: Callable[[str], None],
    ) -> None:
        super().__init__()
        self._access = access
        self._present = present
        self._open_form = open_form
        self._open_entry = open_entry
        self._plans: list[tuple[Held, str]] = []
        self._newest = Newest()
        present.when_changed.append(self.refresh)

    def opened(self) -> None:
        self._access.read(_plans, self._newest.ask().only(self._on_plans), lambda _sentence: None)
        self.refresh()

    def _on_plans(self, plans: "list[tuple[Held, str]]") -> None:
        self._plans = plans
        self.refresh()

    def key(self) -> object:
        picture = self._present.picture
        plan = picture.plan if picture else None
        return self._present.stage, plan.entry if plan else "", [held.entry.id for held, _ in self._plans]

    def fill(self) -> None:
        picture = self._present.picture
        self.heading(say("Care plan"))
        if picture is None:
            self.words(self._present.unread(), soft=True)
            return
        plan = picture.plan
        if plan is None:
            self.words(say("No plan recorded yet: no limit set, and nothing is asked for."))
        else:
            self._fill_plan(plan)
        words = say("Change the plan") if plan else say("Write the plan")
        button = Main(words, "plan_change")
        button.clicked.connect(lambda: self._open_form(PLAN.name, begun(plan)))
        self.row(button)
        self._fill_history()

    def _fill_plan(self, plan: Plan) -> None:
        home, now = self._present.home(), self._present.now()
        since = times.near(home, plan.since, now)
        set_by = plan.details.get("set_by", "")
        self.words(say("Set by {who}, in force since {since}").format(who=set_by, since=since), Size.STRONG)
        self.heading(say("What it asks for"), Size.NAME)
        for task in plan.details.get("tasks", []):
            self.words(f"{task_words(task['kind'], task.get('where', {}))}: {rhythm_words(task)}")
        self.heading(say("Limits"), Size.NAME)
        picture, today = self._present.picture, home.day(now)
        is_adult = picture is not None and picture.person.is_adult(today) is True
        lines, none = limits_of_plan(plan.details.get("limits", {}), is_adult)
        for words in [*(f"{name}: {words}" for name, words in lines), *([none] if none else [])]:
            self.words(sentence(words))
        self.heading(say("Quiet hours"), Size.NAME)
        quiet = plan.details.get("quiet")
        self.words(say("{start} to {end}").format(start=quiet[0], end=quiet[1]) if quiet else say("none set"))
        rest = PLAN.line({name: plan.details[name] for name in SHOWN if name in plan.details})
        if rest:
            self.heading(say("Also set"), Size.NAME)
            self.words(sentence(rest))
        if plan.details.get("instructions"):
            self.heading(say("Instructions"), Size.NAME)
            self.words(str(plan.details["instructions"]))

    def _fill_history(self) -> None:
        if not self._plans:
            return
        self.heading(say("All plans, newest first"), Size.NAME)
        home, now = self._present.home(), self._present.now()
        for number, (held, told) in enumerate(self._plans):
            words = say("Written {when}, set by {who}").format(
                when=times.near(home, held.entry.recorded_at, now), who=held.entry.details.get("set_by", "")
            )
            button = Button(words, f"plan_{number}")
            button.clicked.connect(lambda _=False, entry=held.entry.id: self._open_entry(entry))
            self.row(button)
            self.words(sentence(told), soft=True)


def begun(plan: Plan | None) -> dict[str, object]:
    """What a new plan begins with: the plan in force, without who set it and since when."""
    if plan is None:
        return {}
    return {name: value for name, value in plan.details.items() if name not in ("from", "set_by")}


def _plans(record: "Record") -> "list[tuple[Held, str]]":
    """All plans, the one written last first, each with what it changed."""
    from carelog.analysis.in_force import Reading

    reading = Reading(record.of_kinds([PLAN.name]))
    ordered = plans(reading)
    found = sorted(reading.of(PLAN.name), key=lambda held: -held.entry.recorded_at)
    return [(held, revision_of(ordered, held.entry.id) or "") for held in found]
