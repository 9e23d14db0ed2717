"""What a row of a course holds: plain values by column; None where nobody recorded anything, never zero."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from carelog.domain.flag import Level

Range = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Count:
    """How many of a day; of a week the middle, the least and the most of its recorded days.

    `beside`: how many more there were that aren't compared. `is_over`: whether the day is over.
    """

    middle: Fraction
    low: int
    high: int
    days: int
    beside: int = 0
    is_over: bool = True


@dataclass(frozen=True, slots=True)
class Counts:
    """A bar a column against the range that is usual then, which is None while it isn't known."""

    name: str
    title: str
    cells: tuple[Count | None, ...]
    usual: tuple[Range | None, ...]

    def is_outside(self, number: int) -> bool:
        """Whether a column lies outside its usual range; a day that goes on can only lie above it."""
        cell, usual = self.cells[number], self.usual[number]
        if cell is None or usual is None:
            return False
        return cell.middle > usual[1] or (cell.is_over and cell.middle < usual[0])


@dataclass(frozen=True, slots=True)
class Shares:
    """Of what was described, how often each choice was, in the order of the choices."""

    name: str
    title: str
    options: tuple[str, ...]
    cells: tuple[tuple[int, ...] | None, ...]
    beside: tuple[str, ...] = ()
    """Words that belong to a column and aren't one of the choices; empty: none."""


@dataclass(frozen=True, slots=True)
class ColourRun:
    """Columns in a row, from `first` to `last`, of which the same is told."""

    first: int
    last: int
    words: str
    is_marked: bool = False


@dataclass(frozen=True, slots=True)
class Runs:
    """What was seen most often, in words over the columns in which it was; and each column by itself."""

    name: str
    title: str
    runs: tuple[ColourRun, ...]
    cells: tuple[str | None, ...]


@dataclass(frozen=True, slots=True)
class ReadPoint:
    """One reading: where on the axis (in columns), its value in the row's unit, as typed, how it lies."""

    place: float
    value: Fraction
    words: str
    is_outside: bool
    left: str = ""
    """As what it was left, where somebody adjusted it."""


@dataclass(frozen=True, slots=True)
class PlanBand:
    """A plan's limits over its own time, in columns from the start; either end may be missing."""

    low: Fraction | None
    high: Fraction | None
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Readings:
    """Readings against each plan's limits over its own time; `limits` says them in words."""

    name: str
    title: str
    unit: str
    cells: tuple[tuple[ReadPoint, ...] | None, ...]
    bands: tuple[PlanBand, ...]
    limits: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """What was looked at in a column: its words where something was found; empty: looked, nothing found."""

    words: str
    times: int = 1
    level: Level | None = None


@dataclass(frozen=True, slots=True)
class Signs:
    """Whether something was found, a column; None: nobody looked."""

    name: str
    title: str
    cells: tuple[Finding | None, ...]
    nothing: str = ""
    """The words for a column in which somebody looked and nothing was found."""
    is_read: bool = True
    """False: it isn't known yet what the cells hold."""


@dataclass(frozen=True, slots=True)
class AskedCount:
    """What the plans asked for in a column: recorded (late ones too), not recorded, and not yet due."""

    recorded: int
    late: int
    missed: tuple[str, ...]
    open: int = 0

    @property
    def whole(self) -> int:
        """How many were asked for and are past."""
        return self.recorded + len(self.missed)


@dataclass(frozen=True, slots=True)
class Doings:
    """Asked for and recorded; None: nothing was asked for, or nobody could know."""

    name: str
    title: str
    cells: tuple[AskedCount | None, ...]


Row = Counts | Shares | Runs | Readings | Signs | Doings


@dataclass(frozen=True, slots=True)
class Happening:
    """Something that happened, at a place on the axis; one that lasted has an `end` behind it."""

    column: int
    place: float
    words: str
    short: str
    end: float | None = None


def has_anything(cells: Sequence[object]) -> bool:
    """Whether any column of a row holds anything."""
    return any(each is not None for each in cells)
