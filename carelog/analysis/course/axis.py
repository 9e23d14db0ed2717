"""The axis of time that all rows of a course share: columns of one day, or of seven over long periods."""

from bisect import bisect_right
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum

from carelog.analysis.period import Period
from carelog.analysis.times import full_day, month_day, short_day
from carelog.analysis.week import Review
from carelog.domain.moment import Instant
from carelog.text import mark, say

MOST_DAYS = 98
"""Of more days than these each column is a week: a day would be too narrow to be seen or pointed at."""
A_WEEK = 7
_WEEK_OF = mark("{first} to {last}")


class ColumnState(Enum):
    """What is known of a column; only of a recorded one is 0 a number."""

    RECORDED = "recorded"
    EMPTY = "nothing recorded"
    AWAY = "away"
    UNWRITTEN = "not written down"
    AHEAD = "not yet"


@dataclass(frozen=True, slots=True)
class AxisColumn:
    """One column: its days, by their numbers in the period, its stretch of time and what is known of it.

    `counted` are the days that a count a day is taken from: recorded, over, and touched by no stay or gap.
    """

    first: int
    last: int
    start: Instant
    end: Instant
    state: ColumnState
    counted: tuple[int, ...]
    is_over: bool


@dataclass(frozen=True, slots=True)
class Axis:
    """The columns of a period in order."""

    period: Period
    columns: tuple[AxisColumn, ...]

    @property
    def count(self) -> int:
        """How many columns there are."""
        return len(self.columns)

    @property
    def is_by_day(self) -> bool:
        """Whether a column is one day."""
        return all(each.first == each.last for each in self.columns)

    def place(self, instant: Instant) -> int:
        """The number of the column that an instant of the period lies in."""
        return self.column_of(self.period.place(instant))

    def column_of(self, day: int) -> int:
        """The number of the column that a day of the period lies in."""
        return bisect_right(self.columns, day, key=lambda column: column.first) - 1

    def weeks(self) -> list[int]:
        """For each column the number of the last of its seven days, which are counted back from the last."""
        last = len(self.period.days) - 1
        return [last - (last - each.first) // A_WEEK * A_WEEK for each in self.columns]

    def part(self, instant: Instant) -> float:
        """Where an instant lies on the axis, in columns from its start; outside it, at an end."""
        inside = min(max(instant, self.period.start), self.period.end - 1)
        number = self.place(inside)
        column = self.columns[number]
        return number + (inside - column.start) / (column.end - column.start)

    def first_day(self, number: int) -> date:
        """The first day of a column."""
        return self.period.days[self.columns[number].first]

    def last_day(self, number: int) -> date:
        """The last day of a column."""
        return self.period.days[self.columns[number].last]

    def name(self, number: int) -> str:
        """What people call a column: Sat 28 November 2026; Mon 16 Nov to Sun 22 November 2026."""
        first, last = self.first_day(number), self.last_day(number)
        whole = f"{short_day(last).split(chr(0xA0))[0]}\N{NO-BREAK SPACE}{full_day(last)}"
        return whole if first == last else say(_WEEK_OF).format(first=month_day(first), last=whole)


def days_to(last: date, count: int) -> list[date]:
    """So many days that end with a day."""
    return [last - timedelta(days=number) for number in range(count - 1, -1, -1)]


def axis(review: Review, recorded: frozenset[int]) -> Axis:
    """The columns of a period; `recorded` are the numbers of its recorded days.

    Weeks are counted back from the last day; the first has what is left of days.
    """
    period = review.period
    count, step = len(period.days), 1 if len(period.days) <= MOST_DAYS else A_WEEK
    firsts = list(range(count - step, -step, -step))[::-1]
    ends = (*period.starts[1:], period.end)
    columns = []
    for first in firsts:
        first, last = max(first, 0), first + step - 1
        days = range(first, last + 1)
        counted = tuple(
            day for day in days if day in recorded and day not in review.absent and ends[day] <= period.judged
        )
        state = _state(review, recorded, days)
        columns.append(
            AxisColumn(
                first, last, period.starts[first], ends[last], state, counted, ends[last] <= period.judged
            )
        )
    return Axis(period, tuple(columns))


def _state(review: Review, recorded: frozenset[int], days: range) -> ColumnState:
    if review.period.starts[days[0]] >= review.period.judged:
        return ColumnState.AHEAD
    if any(day in recorded for day in days):
        return ColumnState.RECORDED
    absent = [review.absent[day] for day in days if day in review.absent]
    if absent:
        return ColumnState.AWAY if any(absent) else ColumnState.UNWRITTEN
    return ColumnState.EMPTY
