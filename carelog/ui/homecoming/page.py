"""Coming home: what must be there and who brings it, who was shown what and has done it alone."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QWidget

from carelog.analysis.homecoming import SOURCES, Arranged, Homecoming, Trained, arranged_words, trained_words
from carelog.analysis.times import month_day
from carelog.domain.entry import Details, Json
from carelog.kinds.arrangement import ARRANGEMENT
from carelog.kinds.training import TRAINING
from carelog.text import mark, say
from carelog.ui.access import Access
from carelog.ui.button import Button
from carelog.ui.column import row
from carelog.ui.forms.picks import Picks
from carelog.ui.kit.panel import FoundRow, Sight, SightSign
from carelog.ui.kit.view import ThingsView
from carelog.ui.naming import sentence
from carelog.ui.present import Present
from carelog.ui.slips import Slips
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.ui.kit.reader import ThingsFound

_HOW = mark(
    "Tick these with the ward before the first night at home, and later whenever somebody new learns. The "
    "lists only suggest: the ward's own list and local practice come first."
)


class HomePage(ThingsView):
    """One press says that a thing is there, and one takes it back; the rest is a form."""

    title = mark("Coming home")

    def __init__(
        self,
        access: Access,
        present: Present,
        slips: Slips,
        open_form: Callable[[str, Details | None], None],
        print_sheet: Callable[[], object],
    ) -> None:
        super().__init__(access, present, slips, "home")
        self._open_form, self._print = open_form, print_sheet
        self._who = ""

    def shown(self, found: "ThingsFound") -> object:
        return found.things.homecoming, self._who

    # Showing --------------------------------------------------------------------------------------

    def fill_found(self, found: "ThingsFound") -> None:
        self.across(Words(say(_HOW), soft=True))
        self.across(row(Button.calling(say(mark("Print as one page …")), "home_print", self._print)))
        self._fill_things(found.things.homecoming)
        self._fill_tasks(found.things.homecoming)
        self.across(Words(say(SOURCES), soft=True))

    def _fill_things(self, found: Homecoming) -> None:
        self.heading(say(mark("What must be there")), Size.NAME)
        for number, each in enumerate(found.open):
            self.widget(self._open_row(number, each, found))
        if found.there:
            self.words(say(mark("There, by what was recorded")), Size.STRONG)
        for each in found.there:
            assert each.done is not None
            day, by = month_day(found.home.day(each.done.time)), each.done.first.by
            self.widget(FoundRow(Sight.THERE, sentence(each.what), f"{day} {by}".rstrip()))
        self.row(
            Button.calling(
                say(mark("Something else …")), "home_thing", lambda: self._open_form(ARRANGEMENT.name, None)
            )
        )

    def _open_row(self, number: int, each: Arranged, found: Homecoming) -> QWidget:
        there = Button(say(mark("there")), f"home_there_{number}")
        there.clicked.connect(lambda: self._say_there(each.what, there.taken_stamp()))
        there.setAccessibleName(say(mark("{what}: there")).format(what=each.what))
        who = Button.calling(say(mark("who, when …")), f"home_who_{number}", lambda: self._open_thing(each))
        who.setAccessibleName(say(mark("{what}: who, when")).format(what=each.what))
        told = "" if each.said is None else arranged_words(each, found.today)
        words = sentence(each.what)
        return _row(_sign(Sight.UNSEEN), Words(f"{words}\n{told}" if told else words), there, who)

    def _fill_tasks(self, found: Homecoming) -> None:
        self.heading(say(mark("Who can do what")), Size.NAME)
        if found.people:
            self.words(say(mark("Who learns")), Size.STRONG)
            picks = Picks("home_learner", say(mark("Who learns")), [(each, each) for each in found.people])
            picks.put(self._who or None)
            picks.when_changed.append(lambda: self._choose(picks.read()))
            self.widget(picks)
        for number, (task, learnt) in enumerate(found.trained):
            self.part()
            self._fill_task(number, task, learnt, found)
        self.part()
        self.row(
            Button.calling(
                say(mark("Another task …")),
                "home_task",
                lambda: self._open_form(TRAINING.name, self._learner()),
            )
        )

    def _fill_task(self, number: int, task: str, learnt: tuple[Trained, ...], found: Homecoming) -> None:
        given: dict[str, Json] = {"task": task, **self._learner()}
        shown = Button.calling(
            say(mark("shown …")), f"home_shown_{number}", lambda: self._open_form(TRAINING.name, given)
        )
        shown.setAccessibleName(say(mark("{task}: somebody was shown it")).format(task=task))
        alone = Button.calling(
            say(mark("done alone …")),
            f"home_alone_{number}",
            lambda: self._open_form(TRAINING.name, {**given, "done_alone": True}),
        )
        alone.setAccessibleName(say(mark("{task}: done alone")).format(task=task))
        self.widget(_row(Words(sentence(task), Size.STRONG), shown, alone))
        for each in learnt:
            sight = Sight.UNSEEN if each.alone is None else Sight.THERE
            size = Size.STRONG if each.is_to_be_seen_again(found.today) else Size.TEXT
            self.widget(_row(_sign(sight), Words(trained_words(found, each), size)))
        if not learnt:
            self.words(say(mark("nothing recorded")), soft=True)

    # What can be done -----------------------------------------------------------------------------

    def _choose(self, who: object) -> None:
        self._who = who if isinstance(who, str) else ""
        self.refresh()

    def _learner(self) -> dict[str, Json]:
        return {"who": self._who} if self._who else {}

    def _open_thing(self, each: Arranged) -> None:
        given: dict[str, Json] = {"what": each.what}
        if each.who:
            given["who"] = each.who
        if each.by is not None:
            given["by"] = each.by.isoformat()
        self._open_form(ARRANGEMENT.name, given)

    def _say_there(self, what: str, stamp: int | None) -> None:
        details: Details = {"what": what, "done": True}
        self._saving.save(lambda logbook, by: [logbook.record(ARRANGEMENT.name, details, by)], stamp)


def _sign(state: Sight) -> SightSign:
    made = SightSign(state)
    made.setFixedHeight(made.fontMetrics().lineSpacing() + STEP // 2)
    return made


def _row(*widgets: QWidget) -> QWidget:
    """A sign, words, and what can be said of them at the end; the words take the room."""
    made = QWidget()
    line = QHBoxLayout(made)
    line.setContentsMargins(0, 0, 0, 0)
    line.setSpacing(STEP)
    for each in widgets:
        line.addWidget(each, 1 if isinstance(each, Words) else 0)
    return made
