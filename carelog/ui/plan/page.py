"""The page of the plan: its sentences, each pressed to be changed; the plans before, two side by side."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from carelog.analysis.plans import plans
from carelog.analysis.revision import revision_of
from carelog.analysis.sentences import Passage, passages
from carelog.domain.entry import Details
from carelog.domain.plan import Plan
from carelog.kinds.plan import PLAN
from carelog.text import mark, say
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.button import Button, Main
from carelog.ui.column import ColumnView, row
from carelog.ui.naming import sentence
from carelog.ui.newest import Newest
from carelog.ui.plan.abreast import PlansAbreast
from carelog.ui.plan.begun import begun
from carelog.ui.plan.row import PRESS, glyph_of
from carelog.ui.present import Present
from carelog.ui.rowbutton import RowButton
from carelog.ui.slip import Slip, State
from carelog.ui.slips import Slips
from carelog.ui.theme import Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.app.ports import Record

OpenPlan = Callable[[str, Details], None]
_IN_FORCE = mark("Set by {who}, in force since {since}")
_TO_COME = mark("A plan set by {who} will be in force from {since}.")
_NONE = mark("No plan recorded yet: no limit set, and nothing is asked for.")
_EARLIER = mark("From {since}, set by {who}")
_SAVED = mark("The plan is saved: {words}.")


class PlanPage(ColumnView):
    """A change is a new plan, whole, with who set it; nothing is changed here but by its editor."""

    def __init__(
        self,
        access: Access,
        present: Present,
        slips: Slips,
        open_plan: OpenPlan,
        open_entry: Callable[[str], None],
        open_sheet: Callable[[], None],
    ) -> None:
        """`open_plan` opens the editor at a place of the plan, with the details that it begins with."""
        super().__init__()
        self._access, self._present, self._slips = access, present, slips
        self._open_plan, self._open_entry, self._open_sheet = open_plan, open_entry, open_sheet
        self._plans: list[tuple[Plan, str]] = []
        self._abreast: PlansAbreast | None = None
        self._newest = Newest()
        self._way_back: tuple[str, Callable[[], object]] | None = None
        self._is_changing = False
        present.when_changed.append(self.refresh)

    def opened(self) -> None:
        self._abreast = None
        if not self._is_changing:
            self._way_back = None
        self._is_changing = False
        self._access.read(_all_plans, self._newest.ask().only(self._on_plans), lambda _sentence: None)
        self.refresh()

    def lead_back(self, words: str, go: Callable[[], object]) -> None:
        """Lead back to the page that this was opened from, also once the plan was changed."""
        self._way_back = words, go
        self.refresh()

    def _on_plans(self, found: "list[tuple[Plan, str]]") -> None:
        self._plans = found
        self.refresh()

    def show_list(self) -> bool:
        """Back from two plans to the one in force; whether there was anything to go back from."""
        was_abreast, self._abreast = self._abreast is not None, None
        self.refresh()
        if not was_abreast and self._way_back is not None:
            self._way_back[1]()
            return True
        return was_abreast

    def key(self) -> object:
        picture, slip = self._present.picture, self._saved()
        known = picture.plans if picture else ()
        shown = [(plan.entry, plan.since) for plan in known]
        return (
            self._present.stage,
            picture.plan if picture else None,
            shown,
            [plan.entry for plan, _ in self._plans],
            self._abreast,
            slip and slip.entry.id,
            self._way_back and self._way_back[0],
        )

    # The plan in force ----------------------------------------------------------------------------

    def fill(self) -> None:
        if self._abreast is not None:
            self._abreast.fill(self)
            return
        picture = self._present.picture
        self.heading(say(PLAN.title))
        if picture is None:
            self.waiting(self._present.unread())
            return
        self._fill_saved()
        if self._way_back is not None:
            words, go = self._way_back
            self.across(row(Button.calling(words, "plan_back", go)))
        if picture.plan is None:
            write = Main.calling(say(mark("Write the plan")), "plan_change", lambda: self._open("", None))
            self.empty("plan", say(_NONE), write, *self._undo())
        else:
            self._fill_plan(picture.plan)
        self._fill_to_come(picture.plans)
        self._fill_history()

    def _fill_saved(self) -> None:
        """What was just saved changed this; it can be taken back here too."""
        slip = self._saved()
        if slip is None:
            return
        picture = self._present.picture
        told = revision_of(picture.plans, slip.entry.id) if picture is not None else None
        self.across(Words(say(_SAVED).format(words=told or say(PLAN.title)), Size.STRONG))

    def _undo(self) -> list[Button]:
        """The button that takes back what was just saved here."""
        slip = self._saved()
        if slip is None:
            return []
        return [Button.calling(say(mark("Undo")), "plan_undo", lambda: self._slips.acts.undo(slip))]

    def _saved(self) -> Slip | None:
        slip = self._slips.newest
        is_plan = slip is not None and slip.entry.kind == PLAN.name and slip.state is State.SAVED
        return slip if is_plan else None

    def _fill_plan(self, plan: Plan) -> None:
        home, now = self._present.home(), self._present.now()
        since = times.near(home, plan.since, now)
        self.across(
            Words(say(_IN_FORCE).format(who=plan.details.get("set_by", ""), since=since), Size.STRONG)
        )
        change = Main.calling(
            say(mark("Change the plan …")), "plan_change", lambda: self._open("tasks", plan)
        )
        self.across(
            row(change, Button.calling(say(mark("Print …")), "plan_print", self.print), *self._undo())
        )
        for each in self._passages(plan):
            self._fill_passage(each, plan)

    def _passages(self, plan: Plan) -> list[Passage]:
        return passages(plan.details, is_adult=self._is_adult())

    def _is_adult(self) -> bool:
        picture, today = self._present.picture, self._present.home().day(self._present.now())
        return picture is not None and picture.person.is_adult(today) is True

    def _fill_passage(self, passage: Passage, plan: Plan) -> None:
        self.heading(passage.title, Size.NAME)
        for each in passage.sentences:
            if each.is_set:
                name = "plan_" + each.place.replace("/", "_").replace(":", "_")
                button = RowButton(each.words, name, glyph_of(each.place))
                button.setAccessibleDescription(say(PRESS))
                button.clicked.connect(lambda _=False, place=each.place: self._open(place, plan))
                self.widget(button)
        unset = [f"{each.words}." for each in passage.sentences if not each.is_set]
        if unset:
            self.words(" ".join(unset), soft=True)

    def _open(self, place: str, plan: Plan | None) -> None:
        self._is_changing = True
        self._open_plan(place, begun(plan))

    # The other plans ------------------------------------------------------------------------------

    def _fill_to_come(self, known: tuple[Plan, ...]) -> None:
        home, now = self._present.home(), self._present.now()
        for plan in known:
            if plan.since > now:
                since = times.near(home, plan.since, now)
                self.words(say(_TO_COME).format(who=plan.details.get("set_by", ""), since=since), Size.STRONG)

    def _fill_history(self) -> None:
        if not self._plans:
            return
        self.heading(say(mark("All plans, newest first")), Size.NAME)
        for number, (plan, told) in enumerate(self._plans):
            button = RowButton(self.named(plan), f"plan_{number}", PLAN.name, sentence(told))
            button.clicked.connect(lambda _=False, place=number: self.show_abreast(place))
            self.widget(button)

    def named(self, plan: Plan) -> str:
        """From when a plan counts, and who set it."""
        since = times.near(self._present.home(), plan.since, self._present.now())
        return say(_EARLIER).format(since=since, who=plan.details.get("set_by", ""))

    def show_abreast(self, number: int, other: int | None = None) -> None:
        """Show a plan, by its number from the newest, beside another: the one that it took the place of."""
        last = len(self._plans) - 1
        beside = min(number + 1, last) if other is None else other
        older, newer = (self._plans[each][0] for each in (max(number, beside), min(number, beside)))
        self._abreast = PlansAbreast(
            older,
            newer,
            is_adult=self._is_adult(),
            named=self.named,
            beside_newest=(lambda: self.show_abreast(number, 0)) if min(number, beside) else None,
            begin=lambda: self._open("", self._plans[number][0]),
            open_entry=lambda: self._open_entry(self._plans[number][0].entry),
            back=self.show_list,
        )
        self.refresh()

    def print(self) -> None:
        """The plan's sheet, on the page for paper."""
        self._open_sheet()


def _all_plans(record: "Record") -> "list[tuple[Plan, str]]":
    """All plans, the last one first, each with what it changed of the one before it."""
    from carelog.analysis.in_force import Reading

    ordered = plans(Reading(record.of_kinds([PLAN.name])))
    return [(plan, revision_of(ordered, plan.entry) or "") for plan in reversed(ordered)]
