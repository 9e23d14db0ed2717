"""What the plan asks for next."""

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from carelog.domain.instant import Instant

if TYPE_CHECKING:
    from carelog.domain.entry import Details


class DueState(StrEnum):
    """How near a due is: later, soon (within 60 minutes), due, late (past its grace)."""

    LATER = "later"
    SOON = "soon"
    DUE = "due"
    LATE = "late"


@dataclass(frozen=True, slots=True)
class Due:
    """One task's next due, worked out from plan, entries and time; never stored."""

    kind: str
    where: "Details"
    due_at: Instant
    state: DueState
    last_at: Instant | None
    last_by: str
    why: str
    late_at: Instant
