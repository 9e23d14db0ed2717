"""What somebody asks a sheet for, on paper or as a page."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from carelog.domain.moment import Instant, Week
from carelog.domain.trouble import Trouble

Progress = Callable[[int], None]
IsCancelled = Callable[[], bool]


@dataclass(frozen=True, slots=True)
class SheetRequest:
    """Which sheet of which days, known by when, on which paper.

    `name` is `week` or `day`; a week is an ISO week, or the seven days that end with `until`; `at` the moment
    up to which the record is read (None: all of it); `now` the clock, which without `at` says what of the
    days is past already (None: all of them) and is never printed; `paper` is `a4` or `letter`; `large`
    letters are 16 pt; `html` asks for one accessible page instead of a PDF.
    """

    name: str = "week"
    week: Week | None = None
    day: date | None = None
    until: date | None = None
    at: Instant | None = None
    now: Instant | None = None
    paper: str = "a4"
    large: bool = False
    html: bool = False


class Cancelled(Trouble):
    """Somebody stopped the sheet while it was being made."""
