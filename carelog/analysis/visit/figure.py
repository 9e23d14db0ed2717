"""One period as the visit looks at it, and what a figure of it is: words, and the entries it is made of."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from carelog.analysis.compare import WeeksBefore
from carelog.analysis.course.course import ALL_ROWS, course
from carelog.analysis.course.found import Gathered
from carelog.analysis.course.rows import Row
from carelog.analysis.in_force import Held
from carelog.analysis.rounds import AskedTask, asked
from carelog.analysis.week import Review
from carelog.domain.flag import Flag
from carelog.text import mark, say

NOT_RECORDED = mark("not recorded")
NOT_YET = mark("not yet")


@dataclass(frozen=True, slots=True)
class VisitFigure:
    """A number or a few words of a period.

    `entries` are what it is made of, by the ids of their first versions, `lines` what no entry stands for
    (a task that nobody recorded). `is_marked`: it lies outside the usual or a limit, or something is missing.
    """

    words: str
    entries: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()
    is_marked: bool = False

    @property
    def can_be_opened(self) -> bool:
        """Whether there is anything behind it."""
        return bool(self.entries or self.lines)


@dataclass(frozen=True, slots=True)
class FigureRow:
    """What is told of both periods: its name, its title, the figures of each, and what they lie against."""

    name: str
    title: str
    here: tuple[VisitFigure, ...]
    before: tuple[VisitFigure, ...]
    beside: str = ""
    group: str = ""
    """The heading that it stands under."""


class Half:
    """One of the two periods, read as the course and the week's sheet read it."""

    def __init__(self, review: Review, flags: Sequence[Flag] | None) -> None:
        """`flags` are those of both periods; None: not read yet."""
        self.review = review
        self.flags = flags
        self.gathered = Gathered(review, flags)

    @cached_property
    def rows(self) -> Mapping[str, Row]:
        """The rows of the course, by their names."""
        return {row.name: row for row in course(self.review, self.flags, ALL_ROWS).rows}

    @cached_property
    def past(self) -> WeeksBefore:
        """The three weeks before it."""
        return WeeksBefore(self.review)

    @cached_property
    def asked(self) -> list[AskedTask]:
        """What the plans asked for, and what became of it."""
        return asked(self.review)

    def of(self, kind: str) -> list[Held]:
        """The entries of a kind in force, in their order."""
        return [held for day in self.gathered.days_of(kind) for held in day]

    @property
    def is_written(self) -> bool:
        """Whether any care was written down."""
        return bool(self.gathered.recorded)

    def nothing(self) -> VisitFigure:
        """What stands where nobody recorded anything."""
        has_begun = self.review.period.judged > self.review.period.start
        return VisitFigure(say(NOT_RECORDED if has_begun else NOT_YET))


def ids(found: Iterable[Held]) -> tuple[str, ...]:
    """The ids of the first versions of entries in force."""
    return tuple(held.first.id for held in found)
