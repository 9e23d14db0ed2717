"""What somebody asks a sheet for, on paper or as a page."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import Enum
from typing import Any

from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import Instant, Week
from carelog.domain.sure import SURE
from carelog.domain.trouble import Trouble
from carelog.text import mark

Progress = Callable[[int], None]
IsCancelled = Callable[[], bool]
FindFlags = Callable[[Sequence[Entry], Instant, Instant], Sequence[Flag]]
"""How the flags of a period, from its start to its end, are found for some entries."""
Band = tuple[int, int]
Usual = Mapping[Instant, Band | None]
"""How many suctions a day were usual on the day that ends at a moment, or as far as it had come by then.

None: it wasn't learnt yet. What isn't at hand is absent.
"""


class Span(Enum):
    """Which days a sheet is of; the value: the options that say so (none: as things stand today)."""

    WEEK = "week until"
    DAY = "date"
    WEEKS = "until weeks"
    TODAY = ""

    @property
    def options(self) -> tuple[str, ...]:
        """The options that say which days."""
        return tuple(self.value.split())


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet that can be asked for: its name, what people call it, which days it is of, what it is for.

    `takes`: the options that it takes beside those that say its days. One that isn't `has_large` has one size
    of letters, since it has to fit somewhere. `sketch` is a small picture of it, in rows of as many letters:
    `#` strong words, `-` lines of words, `x` a code, the same capital letter at its corners a frame.
    One that `fills_a_side` has letters as large as lets all stand on one side.
    `for_folder`: what a request for the household's folder says beside the day (None: it isn't for there).
    """

    name: str
    title: str
    span: Span
    purpose: str = ""
    takes: tuple[str, ...] = ()
    has_large: bool = True
    sketch: tuple[str, ...] = ()
    for_folder: tuple[tuple[str, Any], ...] | None = None
    fills_a_side: bool = False

    @property
    def options(self) -> tuple[str, ...]:
        """The options that not every sheet has, and this one does."""
        return (*self.span.options, *self.takes)


@dataclass(frozen=True, slots=True)
class SheetRequest:
    """Which sheet of which days, known by when, on which paper.

    `name` is a sheet's; a week is an ISO week, or the seven days that end with `until`; `at` the moment
    up to which the record is read (None: all of it); `now` the clock, which without `at` says what of the
    days is past already (None: all of them) and is never printed; `paper` is `a4` or `letter`; `large`
    letters are 16 pt; `html` asks for one accessible page instead of a PDF; the title of a `nameless` file,
    which programs and desktops show, has the days and not the person's name; `everything` asks for what isn't
    due yet as well; `count` is how many days a blank sheet is for, `in_columns` side by side; so many `weeks`
    end with `until`; in so many of 100, `sure`, the stock is to outlast a delivery.
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
    nameless: bool = False
    everything: bool = False
    count: int = 1
    in_columns: bool = False
    weeks: int = 4
    sure: int = SURE[0]

    def days(self, span: Span) -> list[date]:
        """The days that are asked for of a sheet with this span; empty when nothing says them."""
        if span not in (Span.WEEK, Span.WEEKS):
            return [self.day] if self.day else []
        if self.until is not None:
            count = 7 * (self.weeks if span is Span.WEEKS else 1)
            return [self.until - timedelta(days=number) for number in range(count - 1, -1, -1)]
        return self.week.days() if self.week else []

    def dated(self, span: Span, today: date) -> "SheetRequest":
        """The same of today, or of this week, where nothing says which days."""
        if span is Span.WEEK:
            return self if self.week or self.until else replace(self, week=Week.of(today))
        if span is Span.WEEKS:
            return replace(self, until=self.until or today)
        return replace(self, day=self.day or today)


STOPPED = mark("The sheet was stopped; nothing was written.")


class Cancelled(Trouble):
    """Somebody stopped the sheet while it was being made."""
