"""The record's basics: what is still to fill in, and every answer at its place to be changed."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.app.basics.questions import QUESTIONS, Question, asked_of, question
from carelog.kinds.contact import CONTACT
from carelog.kinds.person import PERSON
from carelog.kinds.plan import PLAN
from carelog.kinds.recorder import RECORDER
from carelog.text import say
from carelog.ui import times
from carelog.ui.button import Button
from carelog.ui.column import ColumnView, row
from carelog.ui.desk import Desk
from carelog.ui.first.last import LastAnswer
from carelog.ui.first.saved import SavedLine
from carelog.ui.first.still import StillOpen
from carelog.ui.naming import contact_words, sentence
from carelog.ui.rowbutton import RowButton
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held
    from carelog.app.outlook import Picture

OpenQuestion = Callable[[str, str, str], None]
"""By the name of the question, the sentence of the plan, and the entry that is changed."""
PURPOSES = tuple(each.name for each in QUESTIONS if each.kind == CONTACT.name)


class BasicsList(ColumnView):
    """Each row leads to its one question; people and numbers have a row each."""

    def __init__(
        self,
        desk: Desk,
        still: StillOpen,
        open_question: OpenQuestion,
        open_change: "Callable[[str, Held | None], None]",
        go_through: Callable[[], None],
        go: Callable[[str], None],
    ) -> None:
        """`open_change`: the form of an entry that no question here is about."""
        super().__init__()
        self._present = desk.present
        self._still = still
        self._open_question = open_question
        self._open_change = open_change
        self._go_through = go_through
        self._go = go
        desk.present.when_changed.append(self.refresh)

    def key(self) -> object:
        picture = self._present.picture
        return self._present.stage, picture and picture.count, self._still.aside()

    def fill(self) -> None:
        picture = self._present.picture
        self.heading(say("The record's basics"))
        if picture is None:
            self.words(self._present.unread(), soft=True)
            return
        still = self._still.questions()
        if still:
            self._list_title(say("Still to fill in"))
            self.list(self._row(each, say("not recorded yet"), is_there=False) for each in still)
            self.across(row(Button.calling(say("One after another"), "basics_all", self._go_through)))
        facts = [each for each in asked_of(picture) if each not in still and each.has_end]
        rows = [
            self._row(each, self._told(each, picture), is_there=each.is_answered(picture))
            for each in facts
            if self._is_one(each)
        ]
        more = picture.latest.get(PERSON.name)
        if more is not None:
            rows.append(self._more(more))
        if rows:
            self._list_title(say("The person and the tube"))
            self.list(rows)
        self._list_title(say("Who records"))
        self.list([*(self._person(held) for held in picture.recorders), self._one_more("recorder")])
        self._list_title(say("Whom to call"))
        self.list(
            [*(self._contact(held) for held in picture.contacts), *map(self._one_more, ("team", "night"))]
        )

    def _list_title(self, text: str) -> None:
        """A heading over all columns: what follows is a list of its own."""
        self.across(Words(text, Size.NAME, heading=True))

    def _is_one(self, asked: Question) -> bool:
        return asked.kind not in (RECORDER.name, CONTACT.name)

    def _told(self, asked: Question, picture: "Picture") -> str:
        """What the record holds of it; what was put aside says that."""
        if asked.name == "tube_day" and asked.is_answered(picture) and picture.tube is not None:
            day = times.full_day(picture.home.day(picture.tube.time))
            return ", ".join(each for each in (day, asked.words(picture)) if each)
        if asked.kind == PLAN.name and picture.plan is not None:
            return say("set by {who}").format(who=picture.plan.details.get("set_by", ""))
        if not asked.is_answered(picture):
            return say("put aside")
        return sentence(asked.words(picture)) or say("recorded")

    def _row(self, asked: Question, told: str, *, is_there: bool) -> RowButton:
        button = RowButton(say(asked.title), f"basics_{asked.name}", asked.kind, told)
        if asked.kind == PLAN.name and is_there:
            button.clicked.connect(lambda: self._go("plan"))
        else:
            first = "set_by" if asked.kind == PLAN.name else ""
            button.clicked.connect(lambda: self._open_question(asked.name, first, ""))
        return button

    def _more(self, held: "Held") -> RowButton:
        """What an emergency may need and no first evening asks: in the person's form."""
        told = say("what helpers need to know, and the plan")
        button = RowButton(say("More about the person"), "basics_more_person", PERSON.name, told)
        button.clicked.connect(lambda: self._open_change(PERSON.name, held))
        return button

    def _person(self, held: "Held") -> RowButton:
        details = held.entry.details
        initials = str(details["initials"])
        words = f"{initials}  {details.get('name', '')}".strip()
        role = RECORDER.line({"role": details["role"]}) if "role" in details else ""
        button = RowButton(words, f"basics_recorder_{initials}", RECORDER.name, role)
        button.clicked.connect(lambda: self._open_question("recorder", "", held.entry.id))
        return button

    def _contact(self, held: "Held") -> RowButton:
        details = held.entry.details
        purpose = str(details.get("for", ""))
        told = CONTACT.line({"for": purpose}) if purpose else ""
        button = RowButton(contact_words(details), f"basics_contact_{held.first.id}", CONTACT.name, told)
        if purpose in PURPOSES:
            button.clicked.connect(lambda: self._open_question(purpose, "", held.entry.id))
        else:
            button.clicked.connect(lambda: self._open_change(CONTACT.name, held))
        return button

    def _one_more(self, name: str) -> RowButton:
        asked = question(name)
        words = say("One more: {what}").format(what=say(asked.title))
        button = RowButton(words, f"basics_add_{name}", asked.kind)
        button.clicked.connect(lambda: self._open_question(name, "", ""))
        return button


class BasicsPage(QWidget):
    """The list, and at its foot what the last answer saved, with Undo."""

    def __init__(self, basics: BasicsList, desk: Desk, last: LastAnswer) -> None:
        super().__init__()
        self.basics = basics
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(STEP)
        layout.addWidget(basics, 1)
        layout.addWidget(SavedLine(desk, last))

    def opened(self) -> None:
        """Show it as it stands."""
        self.basics.opened()
