"""Something that a person should look at."""

from dataclasses import dataclass
from enum import IntEnum

from carelog.domain.moment import Instant


class Level(IntEnum):
    """How serious a flag is."""

    NOTE = 1
    CALL = 2
    URGENT = 3

    @property
    def word(self) -> str:
        """The word in the command's answers."""
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Flag:
    """One episode of a rule: since when, how serious, why, which entries show it, how it ended."""

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
