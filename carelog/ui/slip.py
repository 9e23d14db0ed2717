"""What one press made: the entry, whether it is saved yet, and what was added to it since."""

from collections.abc import Mapping
from dataclasses import dataclass, field
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


@dataclass
class Slip:
    """One press and its entry; `entry` is the one in force, `first` as it was pressed."""

    first: "Entry"
    entry: "Entry" = field(init=False)
    state: State = State.WAITING
    trouble: str = ""
    is_several: bool = False
    """Whether further presses were taken as the same one."""
    ids: list[str] = field(default_factory=list)
    """The entry and all that was added to it since."""
    asks_who: bool = False
    """Whether it is uncertain who pressed: nobody chosen, a long pause, or another's shift has begun."""
    spoken_of: Mapping[str, str] = field(default_factory=dict)
    """What the entries that it speaks of say, by their ids: the question that was answered."""
    asked_at: Instant | None = None
    """When yesterday the plan asked for it, where nobody had recorded it since."""
    struck: int = 0
    """How many acts the last Undo took back."""

    def __post_init__(self) -> None:
        self.entry = self.first
        self.ids.append(self.first.id)

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
