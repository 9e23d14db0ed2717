"""What people at a bedside worry about, each with the page that answers it and where the answer leads."""

from dataclasses import dataclass

from carelog.kinds.checklist import CHECKLIST
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.gap import GAP
from carelog.kinds.incident import INCIDENT
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.question import QUESTION
from carelog.kinds.stoma import STOMA
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.text import mark


@dataclass(frozen=True, slots=True)
class Worry:
    """A question as somebody asks it, the forms and the pages that its answer opens, and its drawing."""

    name: str
    words: str
    glyph: str
    also: tuple[str, ...] = ()
    """Other words by which it is looked for."""
    forms: tuple[str, ...] = ()
    pages: tuple[str, ...] = ()


WORRIES = (
    Worry(
        "tube_came_out",
        mark("The tube came out: how do I write it?"),
        "incident",
        also=(
            mark("pulled out"),
            mark("slipped"),
            mark("fell out"),
            mark("accident"),
            mark("decannulated"),
        ),
        forms=(INCIDENT.name, TUBE_CHANGE.name),
        pages=("emergency",),
    ),
    Worry(
        "inner_tube_stuck",
        mark("The inner tube was stuck: how do I write it?"),
        "inner_tube",
        also=(
            mark("jammed"),
            mark("blocked"),
            mark("will not come out"),
            mark("cannot remove"),
        ),
        forms=(INNER_TUBE.name,),
        pages=("emergency",),
    ),
    Worry(
        "forgot_to_write",
        mark("I forgot to write something down"),
        "timeline",
        also=(
            mark("yesterday"),
            mark("earlier"),
            mark("afterwards"),
            mark("missed"),
            mark("paper"),
            mark("time"),
        ),
        forms=(GAP.name,),
        pages=("typed",),
    ),
    Worry(
        "wrong_press",
        mark("I pressed the wrong thing"),
        "settings",
        also=(
            mark("mistake"),
            mark("delete"),
            mark("remove"),
            mark("correct"),
            mark("undo"),
            mark("wrong time"),
            mark("error"),
        ),
        pages=("timeline",),
    ),
    Worry(
        "there_is_a_flag",
        mark("There is a flag: what now?"),
        "flags",
        also=(
            mark("warning"),
            mark("alert"),
            mark("sign"),
            mark("told"),
            mark("called"),
        ),
        pages=("flags", "emergency"),
    ),
    Worry(
        "mucus_or_scab",
        mark("Is it dried mucus, or a scab?"),
        "stoma",
        also=(
            mark("pus"),
            mark("crust"),
            mark("wound"),
            mark("sore"),
            mark("skin"),
            mark("infected"),
            mark("dirty"),
        ),
        forms=(STOMA.name,),
    ),
    Worry(
        "power_is_off",
        mark("The power is off"),
        "equipment_check",
        also=(
            mark("electricity"),
            mark("outage"),
            mark("battery"),
            mark("blackout"),
            mark("cut"),
        ),
        forms=(EQUIPMENT_CHECK.name, CHECKLIST.name),
        pages=("kit", "emergency"),
    ),
    Worry(
        "record_back",
        mark("How do I get the record back?"),
        "copies",
        also=(
            mark("lost"),
            mark("restore"),
            mark("backup"),
            mark("broken computer"),
            mark("deleted"),
            mark("damaged"),
            mark("copy"),
        ),
        pages=("copies",),
    ),
    Worry(
        "second_computer",
        mark("How do we use a second computer?"),
        "copies",
        also=(
            mark("laptop"),
            mark("two computers"),
            mark("share"),
            mark("stick"),
            mark("sync"),
        ),
        pages=("copies",),
    ),
    Worry(
        "nurse_comes",
        mark("The nurse comes: what do I show?"),
        "visit",
        also=(
            mark("visit"),
            mark("doctor"),
            mark("appointment"),
            mark("print"),
            mark("week"),
            mark("paper"),
        ),
        forms=(QUESTION.name,),
        pages=("visit", "sheet", "since"),
    ),
)
