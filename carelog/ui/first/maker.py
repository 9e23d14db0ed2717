"""Which controls a screen of the basics has."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout

from carelog.app.basics.questions import contact_for
from carelog.kinds.box_check import BOX_CHECK
from carelog.kinds.contact import CONTACT
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.plan import PLAN
from carelog.kinds.stock import STOCK
from carelog.text import mark, say
from carelog.ui.button import Button
from carelog.ui.column import row
from carelog.ui.first.asked import Asked, Now
from carelog.ui.first.people import ContactAsked, PersonAsked, RecorderAsked, person_choice
from carelog.ui.first.screens import Screen
from carelog.ui.first.team import SORTS, SetByAsked
from carelog.ui.first.tube import TubeAsked, TubeDayAsked
from carelog.ui.rowbutton import RowButton

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held
    from carelog.app.outlook import Picture
    from carelog.domain.entry import Details

OpenForm = Callable[[str, "Details | None"], None]
KIT = (
    (BOX_CHECK.name, mark("The spare-tube box"), mark("what is in it, and what is missing"), None),
    (
        EQUIPMENT_CHECK.name,
        mark("The suction machine"),
        mark("whether it works, and its battery"),
        {"device": "suction_machine"},
    ),
    (STOCK.name, mark("Supplies"), mark("what is counted, one thing at a time"), None),
)
CHOICES = {"airway": "upper_airway", "helped": "helped_by"}


class KitAsked(Asked):
    """Three ways into the forms of the kit; each can wait."""

    is_saved_by_button = False

    def __init__(self, now: Now, open_form: OpenForm, go: Callable[[str], None]) -> None:
        super().__init__(now)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        for kind, words, told, given in KIT:
            is_there = kind in now.picture.latest
            told = say("recorded") if is_there else say(told)
            button = RowButton(say(words), f"kit_{kind}", kind, told)
            button.clicked.connect(lambda _=False, name=kind, begin=given: open_form(name, begin))
            column.addWidget(button)
        column.addWidget(row(Button.calling(say("To the page Kit"), "first_kit", lambda: go("kit"))))


class PaperAsked(Asked):
    """One press to the printer's question."""

    is_saved_by_button = False

    def __init__(self, now: Now, print_folder: Callable[[], None], go: Callable[[str], None]) -> None:
        super().__init__(now)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(
            row(
                Button.calling(say("Print these for the folder …"), "first_print", print_folder),
                Button.calling(say("To the paper page"), "first_folder", lambda: go("sheet")),
            )
        )


class ScreenMaker:
    """Makes the controls of each screen."""

    def __init__(
        self,
        zone: Callable[[], str],
        open_form: OpenForm,
        print_folder: Callable[[], None],
        go: Callable[[str], None],
    ) -> None:
        """`zone` gives this computer's zone; `open_form` comes back to the questions."""
        self._zone = zone
        self._open_form = open_form
        self._print_folder = print_folder
        self._go = go
        self.set_by = ""
        """Who gave the plan, said and not in the record yet."""
        self.when_named: list[Callable[[], None]] = []

    def made(self, screen: Screen, now: Now) -> Asked:
        """The controls of a screen; `now.held` is what a contact or a recorder is changed from."""
        name = screen.question
        if screen.asked.kind == PLAN.name:
            return self._of_plan(screen, now)
        if screen.asked.kind == CONTACT.name:
            return ContactAsked(now, name)
        if name in CHOICES:
            return person_choice(now, CHOICES[name])
        makers: dict[str, Callable[[], Asked]] = {
            "person": lambda: PersonAsked(now, self._zone()),
            "recorder": lambda: RecorderAsked(now),
            "tube": lambda: TubeAsked(now),
            "tube_day": lambda: TubeDayAsked(now),
            "kit": lambda: KitAsked(now, self._open_form, self._go),
            "paper": lambda: PaperAsked(now, self._print_folder, self._go),
        }
        return makers[name]()

    def _of_plan(self, screen: Screen, now: Now) -> Asked:
        set_by = self.who_set(now)
        sentence = screen.of_plan()
        if sentence is None or sentence.sort not in SORTS:
            return SetByAsked(now, set_by, self._named)
        return SORTS[sentence.sort](now, sentence, set_by)

    def who_set(self, now: Now) -> str:
        """Who gave the plan, as far as it was said."""
        plan = now.picture.plan
        return self.set_by or (str(plan.details.get("set_by", "")) if plan is not None else "")

    def _named(self, words: str) -> None:
        self.set_by = words
        for listener in self.when_named:
            listener()


def held_for(screen: Screen, picture: "Picture", entry_id: str) -> "Held | None":
    """The entry that a screen changes: the one that was asked for, else the emergency number that stands."""
    known = {held.entry.id: held for held in (*picture.contacts, *picture.recorders)}
    if entry_id:
        return known.get(entry_id)
    is_alone = screen.asked.kind == CONTACT.name and not screen.asked.is_repeated
    return contact_for(picture, screen.question) if is_alone else None
