"""Something that a person should look at."""

from dataclasses import dataclass
from enum import IntEnum

from carelog.domain.moment import Instant
from carelog.text import mark, say


class Level(IntEnum):
    """How serious a flag is."""

    NOTE = 1
    CALL = 2
    URGENT = 3

    @property
    def word(self) -> str:
        """The word in the command's answers."""
        return self.name.lower()

    @property
    def asks(self) -> str:
        """What it asks for, as people read it."""
        return say(_ASKS[self])


class Matter(IntEnum):
    """What a flag is about, in the order in which flags of one level are read."""

    BODY = 0
    KIT = 1
    LATENESS = 2


_ASKS = {
    Level.URGENT: mark("Emergency plan now"),
    Level.CALL: mark("Speak to the team today"),
    Level.NOTE: mark("Look at this"),
}


@dataclass(frozen=True, slots=True)
class Flag:
    """One episode of a rule: since when, how serious, why, which entries show it, how it ended.

    `by_statistics`: a comparison with this person's own usual takes part in it; `closing` are then the words
    that come last: how often it speaks up without a change, and that it is no diagnosis. `called`: what shows
    it says itself who was called; `several`: it tells of several differences together, not of its rule's own.
    """

    rule: str
    subject: str | None
    level: Level
    raised_at: Instant
    cleared_at: Instant | None
    cleared_by: str | None
    headline: str
    why: str
    entries: tuple[str, ...]
    seen: tuple[str, ...] = ()
    ended: str = ""
    by_statistics: bool = False
    closing: str = ""
    matter: Matter = Matter.BODY
    called: bool = False
    several: bool = False

    @property
    def reasons(self) -> str:
        """Why it is there, with the closing words."""
        return f"{self.why} {self.closing}".strip()

    @property
    def place(self) -> tuple[int, int, bool]:
        """Its place among others: by level, then what touches the body and is still there first."""
        return -self.level, self.matter, self.cleared_at is not None
