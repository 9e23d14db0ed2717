"""All pages of the window in one table: a line here and a maker in `Makers` make a page."""

from collections.abc import Callable
from enum import Enum
from typing import TYPE_CHECKING, NamedTuple

from carelog.text import mark

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from carelog.ui.makers import Makers

CONSTANT = mark("A record and a reminder. No monitor, no alarm.")
"""The line that stands on every page."""


class Spot(Enum):
    """Where a page is opened from, beside its key."""

    RAIL = "rail"
    LIST = "list"
    """In the list behind the rail's last button."""
    WAYS = "ways"
    """From other pages alone."""


class Page(NamedTuple):
    """A page: its object's name, its word, how it is made, where it stands, and its key as Qt writes it."""

    name: str
    words: str
    make: "Callable[[Makers], QWidget] | None"
    """None: it is there from the start."""
    spot: Spot = Spot.WAYS
    told: str = ""
    """What is found there, in the list."""
    key: str = ""
    key_words: str = ""

    @property
    def glyph(self) -> str:
        """The name of its glyph."""
        return self.name


PAGES = (
    Page("board", mark("Board"), None, Spot.RAIL, key="Alt+1", key_words=mark("the board")),
    Page(
        "timeline",
        mark("Days"),
        lambda makers: makers.timeline(),
        Spot.RAIL,
        key="Alt+2",
        key_words=mark("the days: every entry"),
    ),
    Page(
        "course",
        mark("Course"),
        lambda makers: makers.course(),
        Spot.RAIL,
        key="Alt+9",
        key_words=mark("the course of weeks and months"),
    ),
    Page(
        "flags",
        mark("Flags"),
        lambda makers: makers.flags(),
        Spot.RAIL,
        key="Alt+3",
        key_words=mark("the flags"),
    ),
    Page(
        "kit",
        mark("Kit"),
        lambda makers: makers.kit(),
        Spot.RAIL,
        key="Alt+0",
        key_words=mark("the kit: tube, box, machines, supplies"),
    ),
    Page(
        "plan",
        mark("Plan"),
        lambda makers: makers.plan(),
        Spot.RAIL,
        key="Alt+5",
        key_words=mark("the care plan"),
    ),
    Page(
        "sheet",
        mark("Paper"),
        lambda makers: makers.sheet(),
        Spot.RAIL,
        key="Alt+6",
        key_words=mark("the sheets for paper"),
    ),
    Page(
        "cards",
        mark("Cards"),
        lambda makers: makers.cards(),
        Spot.RAIL,
        key="F9",
        key_words=mark("the cards to show instead of speaking"),
    ),
    Page(
        "help",
        mark("Help"),
        lambda makers: makers.help(),
        Spot.RAIL,
        mark("what everything here is for, and all keys"),
        key="Alt+7",
        key_words=mark("help"),
    ),
    Page("others", mark("More"), lambda makers: makers.others(), Spot.RAIL),
    Page(
        "due",
        mark("Due"),
        lambda makers: makers.due(),
        Spot.LIST,
        mark("what the plan asks for, and when"),
        key="Alt+4",
        key_words=mark("what is due"),
    ),
    Page(
        "power",
        mark("Power cut"),
        lambda makers: makers.power(),
        Spot.LIST,
        mark("what runs on battery, and whom to ring"),
    ),
    Page(
        "outing",
        mark("Going out"),
        lambda makers: makers.outing(),
        Spot.LIST,
        mark("what to take along, out and back"),
    ),
    Page(
        "home",
        mark("Coming home"),
        lambda makers: makers.home(),
        Spot.LIST,
        mark("what must be there, and who can do what"),
    ),
    Page(
        "since",
        mark("Since then"),
        lambda makers: makers.since(),
        Spot.LIST,
        mark("what happened since you were last here"),
    ),
    Page(
        "visit",
        mark("Visit"),
        lambda makers: makers.visit(),
        Spot.LIST,
        mark("for the nurse: two weeks side by side, questions, the signature"),
        key="Alt+V",
        key_words=mark("the nurse's visit"),
    ),
    Page(
        "who",
        mark("People"),
        lambda makers: makers.who(),
        Spot.LIST,
        mark("who records, and who else does"),
    ),
    Page(
        "basics",
        mark("The record's basics"),
        lambda makers: makers.basics(),
        Spot.LIST,
        mark("who it is about, the tube, whom to call, who records"),
    ),
    Page(
        "settings",
        mark("Settings"),
        lambda makers: makers.settings(),
        Spot.LIST,
        mark("text size, night, tiles, sound"),
        key="Alt+8",
        key_words=mark("settings"),
    ),
    Page(
        "copies",
        mark("Copies"),
        lambda makers: makers.copies(),
        Spot.LIST,
        mark("where copies lie; bring a record in or out"),
    ),
    Page(
        "typed",
        mark("Typed in later"),
        lambda makers: makers.typed(),
        Spot.LIST,
        mark("a sheet that was filled in by hand"),
    ),
    Page("sides", mark("Two versions"), lambda makers: makers.sides()),
    Page("reading", mark("Locked for reading"), lambda makers: makers.reading()),
    Page("code", mark("Recovery code"), lambda makers: makers.code()),
    Page("more", mark("More to record"), lambda makers: makers.more()),
    Page("emergency", mark("Emergency page"), lambda makers: makers.emergency()),
    Page("give", mark("Give"), lambda makers: makers.give()),
    Page("first", mark("First steps"), lambda makers: makers.first()),
)
"""In the order in which they stand; the rail's last one lists what has no place on the rail."""


def standing(spot: Spot) -> list[Page]:
    """The pages that are opened from there, in their order."""
    return [page for page in PAGES if page.spot is spot]
