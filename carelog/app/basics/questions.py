"""What is asked of a new record, one thing at a time, and which of it is recorded.

Whether a question is answered is read from the record alone: nothing is remembered beside it but what
somebody put aside for good. What is known of part of a question leaves the question open.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from carelog.analysis.in_force import Held
from carelog.app.outlook import Picture
from carelog.domain.entry import Details
from carelog.kinds import named_or_unknown
from carelog.kinds.box_check import BOX_CHECK
from carelog.kinds.contact import CONTACT
from carelog.kinds.decannulation import DECANNULATION
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.person import PERSON
from carelog.kinds.plan import PLAN
from carelog.kinds.recorder import RECORDER
from carelog.kinds.stock import STOCK
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.text import mark, say

Facts = Callable[[Picture], Details]

STEPS = (
    mark("The person"),
    mark("Who records"),
    mark("The tube"),
    mark("Air and breathing"),
    mark("What the team asks for"),
    mark("Whom to call"),
    mark("Box, machines, supplies"),
    mark("Paper for the folder"),
)
"""The steps of a first evening, in their order."""


@dataclass(frozen=True, slots=True)
class Question:
    """One question of a step: what it asks for, and which details of the record answer it."""

    name: str
    step: int
    """From 1."""
    kind: str
    title: str
    asks: str
    facts: Facts
    """What the record holds of it."""
    fields: tuple[str, ...]
    needed: tuple[str, ...]
    """Without these it stays open."""
    told: str = ""
    is_repeated: bool = False
    """Whether there may be several answers beside one another, each an entry of its own."""
    has_end: bool = True
    """Whether the record can tell that it is done; paper is printed or not, no entry says so."""

    def is_answered(self, picture: Picture) -> bool:
        """Whether the record holds what is needed of it."""
        facts = self.facts(picture)
        return all(name in facts for name in self.needed)

    def before(self, picture: Picture) -> Details:
        """What an answer may change: all details of the entry that holds it."""
        return _tube(picture) if self.kind == TUBE_CHANGE.name else self.facts(picture)

    def words(self, picture: Picture) -> str:
        """What the record holds of it, as one line; empty for nothing."""
        facts = self.facts(picture)
        return named_or_unknown(self.kind).line({name: facts[name] for name in self.fields if name in facts})


def _person(picture: Picture) -> Details:
    return picture.person.details


def _tube(picture: Picture) -> Details:
    return picture.tube.entry.details if picture.tube is not None else {}


def _tube_day(picture: Picture) -> Details:
    """The day counts as known unless the entry says no more than when it was written."""
    tube = picture.tube
    if tube is None or is_day_unknown(tube):
        return {}
    return {"at": tube.time, **tube.entry.details}


def is_day_unknown(tube: Held) -> bool:
    """Whether a tube was in place before the record began, and its entry has no other time than its own."""
    first = tube.first
    is_first = first.details.get("reason") == "first_entry"
    return is_first and tube.entry.at.instant == first.recorded_at


def _recorder(picture: Picture) -> Details:
    return picture.recorders[-1].entry.details if picture.recorders else {}


def _contact(purpose: str) -> Facts:
    def facts(picture: Picture) -> Details:
        found = contact_for(picture, purpose)
        return found.entry.details if found is not None else {}

    return facts


def contact_for(picture: Picture, purpose: str) -> Held | None:
    """The newest contact for that, whose number is the one shown."""
    found = [held for held in picture.contacts if held.entry.details.get("for") == purpose]
    return found[-1] if found else None


def _plan(picture: Picture) -> Details:
    return picture.plan.details if picture.plan is not None else {}


def _kit(picture: Picture) -> Details:
    names = (BOX_CHECK.name, EQUIPMENT_CHECK.name, STOCK.name)
    return {name: True for name in names if name in picture.latest}


def _paper(_picture: Picture) -> Details:
    return {}


QUESTIONS = (
    Question(
        "person",
        1,
        PERSON.name,
        mark("Name and birth date"),
        mark("Whom is this record about?"),
        _person,
        ("name", "born"),
        ("name", "born"),
        mark("The person who lives with the tracheostomy. Without a birth date no values are offered."),
    ),
    Question(
        "emergency",
        1,
        CONTACT.name,
        mark("The emergency number"),
        mark("Which number is called in an emergency?"),
        _contact("emergency"),
        ("phone",),
        ("phone",),
        mark("Your country's emergency number, or the one that the hospital gave you."),
    ),
    Question(
        "recorder",
        2,
        RECORDER.name,
        mark("Who records"),
        mark("Who records here?"),
        _recorder,
        ("initials", "name", "role"),
        ("initials",),
        mark("Each entry bears the initials of who wrote it. One more person is one more press."),
        is_repeated=True,
    ),
    Question(
        "tube",
        3,
        TUBE_CHANGE.name,
        mark("The tube in place"),
        mark("What stands on the tube?"),
        _tube,
        ("id_mm", "od_mm", "length_mm", "cuff", "fenestrated", "inner_tube", "inner_id_mm", "size_mark"),
        ("id_mm",),
        mark(
            "It stands on the flange, the plate at the neck, on the box and in the letter. Leave empty what "
            "you can't read: it is kept as not recorded. Don't move the tube to read it."
        ),
    ),
    Question(
        "tube_day",
        3,
        TUBE_CHANGE.name,
        mark("When the tube was put in"),
        mark("When was the tube put in?"),
        _tube_day,
        ("next_due", "done_by"),
        ("at",),
        mark("In hospital it counts too. The day of the next change stands in the letter, if it is planned."),
    ),
    Question(
        "airway",
        4,
        PERSON.name,
        mark("Air by mouth and nose"),
        mark("Can air pass by mouth and nose?"),
        _person,
        ("upper_airway",),
        ("upper_airway",),
        mark("Helpers in an emergency need to know this first. The letter or the ward can tell you."),
    ),
    Question(
        "helped",
        4,
        PERSON.name,
        mark("What helps the breathing"),
        mark("What helps the person to breathe?"),
        _person,
        ("helped_by",),
        ("helped_by",),
    ),
    Question(
        "plan",
        5,
        PLAN.name,
        mark("What the team asks for"),
        mark("What does the team ask for?"),
        _plan,
        (),
        ("set_by",),
    ),
    Question(
        "team",
        6,
        CONTACT.name,
        mark("The team by day"),
        mark("Whom do you call by day?"),
        _contact("team"),
        ("role", "name", "phone", "when"),
        ("phone",),
        mark("The nurse, the clinic or the ward that cares for the tube."),
        is_repeated=True,
    ),
    Question(
        "night",
        6,
        CONTACT.name,
        mark("The number for the night"),
        mark("Whom do you call at night?"),
        _contact("night"),
        ("role", "name", "phone", "when"),
        ("phone",),
        mark("For what can't wait till morning and is no emergency."),
        is_repeated=True,
    ),
    Question(
        "kit",
        7,
        BOX_CHECK.name,
        mark("Box, machines, supplies"),
        mark("What is in the house?"),
        _kit,
        (),
        (BOX_CHECK.name, EQUIPMENT_CHECK.name, STOCK.name),
        mark("Look at the spare-tube box first: it goes wherever the person goes."),
    ),
    Question(
        "paper",
        8,
        "",
        mark("Paper for the folder"),
        mark("Print these for the folder?"),
        _paper,
        (),
        (),
        mark("The hand-over, blank days, the card and the emergency plan, for when the computer is off."),
        has_end=False,
    ),
)
"""All questions, in the order in which a first evening asks them."""
WITH_TUBE = frozenset({"tube", "tube_day"})


def question(name: str) -> Question:
    """The question of that name."""
    return next(each for each in QUESTIONS if each.name == name)


def asked_of(picture: Picture) -> tuple[Question, ...]:
    """The questions that can be asked: none about a tube that was taken out for good."""
    is_out = picture.tube is None and DECANNULATION.name in picture.latest
    has_tube = picture.tube is not None
    return tuple(
        each
        for each in QUESTIONS
        if not (is_out and each.name in WITH_TUBE) and (has_tube or each.name != "tube_day")
    )


def still_open(picture: Picture, aside: Iterable[str]) -> tuple[Question, ...]:
    """What isn't recorded yet and wasn't put aside for good."""
    left = set(aside)
    return tuple(
        each
        for each in asked_of(picture)
        if each.has_end and each.name not in left and not each.is_answered(picture)
    )


def title(name: str) -> str:
    """What a question is about, in words."""
    return say(question(name).title)
