"""What one press made: the entry, whether it is saved yet, and what was added to it since."""

from collections.abc import Mapping
from enum import Enum
from typing import TYPE_CHECKING

from carelog.domain.instant import MINUTE, Instant

if TYPE_CHECKING:
    from carelog.domain.entry import Entry

JUST_NOW = 10 * MINUTE


class State(Enum):
    """How far a press has come on its way to the disk."""

    WAITING = "waiting"
    SAVED = "saved"
    FAILED = "failed"
    UNDONE = "undone"


class Slip:
    """One press and its entry; `entry` is the one in force, `first` as it was pressed."""

    def __init__(self, first: "Entry", spoken_of: Mapping[str, str] | None = None) -> None:
        """`spoken_of`: what the entries that it speaks of say, by their ids, as the question answered."""
        self.first = self.entry = first
        self.state = State.WAITING
        self.trouble = ""
        self.is_several = False
        """Whether further presses were taken as the same one."""
        self.ids = [first.id]
        """The entry and all that was added to it since."""
        self.asks_who = False
        """Whether it is uncertain who pressed: nobody chosen, a long pause, or another's shift has begun."""
        self.spoken_of: Mapping[str, str] = spoken_of or {}
        self.asked_at: Instant | None = None
        """When yesterday the plan asked for it, where nobody had recorded it since."""
        self.struck = 0
        """How many acts the last Undo took back."""

    def is_fresh(self, now: Instant) -> bool:
        """Whether it was pressed so short a while ago that whoever stands here may well have pressed it."""
        return now - self.first.recorded_at < JUST_NOW

    @property
    def is_of_now(self) -> bool:
        """Whether it tells of the moments before the press: of anything else no “minutes ago” is true."""
        return 0 <= self.first.recorded_at - self.first.at.instant < JUST_NOW

    @property
    def is_change(self) -> bool:
        """Whether what was saved is the correction of an earlier entry; what only adds gives no reason."""
        return bool(self.first.amends and self.first.reason and not self.first.withdrawn)

    @property
    def is_unsaved(self) -> bool:
        """Whether it isn't in the file yet."""
        return self.state in (State.WAITING, State.FAILED)
