"""The course in words: one sentence a column, and the same as a table for those who can't see a picture."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from carelog.analysis.between import between
from carelog.analysis.course.axis import ColumnState
from carelog.analysis.course.course import WholeCourse
from carelog.analysis.course.rows import (
    AskedCount,
    Count,
    Counts,
    Doings,
    Finding,
    Happening,
    Range,
    Readings,
    ReadPoint,
    Row,
    Runs,
    Shares,
    Signs,
)
from carelog.analysis.course.secretions import timed
from carelog.domain.units import plain, with_unit
from carelog.text import mark, say, say_n

MOST_READINGS = 6
"""Of so many readings each is told; of more the least and the most."""
_USUALLY = mark("{count}, usually {range}")
_WEEKS_COUNT = mark("{title}: {middle} in the middle, {low} to {high}")
_WEEKS_ONE = mark("{title}: {middle}")
_BESIDE = mark("{words} and {count} not through the tube")
_SO_FAR = mark("{words} so far")
_ROW = mark("{title}: {words}")
_TIMES = mark("{words} {count}")
_OF = mark("{words} of {all}")
_OUTSIDE = mark("{words} (outside the limits: {count})")
_LEFT = mark("{found} (left at {left})")
_RANGE = mark("{count} readings, {low} to {high}")
_ALL_ASKED = mark("all {count} asked for recorded")
_ASKED = mark("{done} of {all} asked for recorded; not recorded: {missed}")
_LATE = mark("{words}, {count} of them overdue")
_NONE_DUE = mark("nothing asked for was due yet")
_FLAGS = mark("flagged: {words}")
_STATES = {
    ColumnState.EMPTY: mark("nothing is recorded"),
    ColumnState.AWAY: mark("away, nothing is recorded"),
    ColumnState.UNWRITTEN: mark("not written down"),
    ColumnState.AHEAD: mark("not yet"),
}
NOT_RECORDED = mark("not recorded")


@dataclass(frozen=True, slots=True)
class Sentence:
    """A column read out: its days, and all that is told of them."""

    name: str
    parts: tuple[str, ...]

    @property
    def words(self) -> str:
        """The parts in one sentence."""
        return f"{'; '.join(each.rstrip('.') for each in self.parts)}."

    @property
    def text(self) -> str:
        """The whole of it."""
        return f"{self.name}: {self.words}"


def sentence(course: WholeCourse, number: int) -> Sentence:
    """A column in one sentence; a row of which nobody recorded anything isn't told."""
    axis = course.axis
    parts = [cell for row in course.rows for cell in [cell_words(row, number, is_told=True)] if cell]
    happened = [each.words for each in _at(course, number)]
    state = axis.columns[number].state
    if state is not ColumnState.RECORDED:
        parts = [say(_STATES[state]), *parts]
    return Sentence(axis.name(number), (*parts, *happened))


def _at(course: WholeCourse, number: int) -> list[Happening]:
    """The marks that touch a column."""
    return [
        each
        for each in course.marks
        if each.column == number or (each.end is not None and each.place < number + 1 and each.end > number)
    ]


def cell_words(row: Row, number: int, *, is_told: bool = False) -> str:
    """One cell in words; `is_told`: as a part of a sentence, which names its row. Empty: not recorded."""
    cell = row.cells[number]
    if cell is None:
        return ""
    match row:
        case Counts():
            return _count(row, row.cells[number], row.usual[number], is_told)
        case Shares():
            words = _share(row, number)
        case Runs():
            words = row.cells[number] or ""
        case Readings():
            words = _readings(row, row.cells[number] or ())
        case Signs():
            return _sign(row, row.cells[number], is_told)
        case Doings():
            return _asked(row.cells[number])
    return say(_ROW).format(title=row.title, words=words) if is_told else words


def _count(row: Counts, cell: Count | None, usual: Range | None, is_told: bool) -> str:
    assert cell is not None
    count = plain(cell.middle)
    if cell.low != cell.high:
        words = say(_WEEKS_COUNT).format(title=row.title, middle=count, low=cell.low, high=cell.high)
    elif cell.days > 1:
        words = say(_WEEKS_ONE).format(title=row.title, middle=count)
    elif is_told:
        words = say_n("{count} suction", "{count} suctions", cell.low).format(count=cell.low)
    else:
        words = count
    words = words if cell.is_over or cell.days > 1 else say(_SO_FAR).format(words=words)
    words = say(_USUALLY).format(count=words, range=between(*usual)) if usual and is_told else words
    return say(_BESIDE).format(words=words, count=cell.beside) if cell.beside and is_told else words


def _share(row: Shares, number: int) -> str:
    given = row.cells[number] or ()
    whole = sum(given)
    counted = [(word, count) for word, count in zip(row.options, given, strict=True) if count]
    beside = row.beside[number] if row.beside else ""
    words = ", ".join(say(_TIMES).format(words=word, count=count) for word, count in counted)
    words = say(_OF).format(words=words, all=whole) if whole > 1 else words
    return "; ".join(each for each in (words, beside) if each)


def _readings(row: Readings, points: Sequence[ReadPoint]) -> str:
    outside = sum(each.is_outside for each in points)
    if len(points) <= MOST_READINGS:
        words = f"{', '.join(map(_point, points))}\N{NO-BREAK SPACE}{row.unit}"
    else:
        values = [each.value for each in points]
        low, high = plain(min(values)), with_unit(max(values), row.unit)
        words = say(_RANGE).format(count=len(points), low=low, high=high)
    return say(_OUTSIDE).format(words=words, count=outside) if outside else words


def _point(point: ReadPoint) -> str:
    return say(_LEFT).format(found=point.words, left=point.left) if point.left else point.words


def _sign(row: Signs, sign: Finding | None, is_told: bool) -> str:
    assert sign is not None
    if sign.level is not None:
        return say(_FLAGS).format(words=sign.words) if is_told else sign.words
    words = timed(sign.words, sign.times) if sign.words else ""
    if not is_told:
        return words or row.nothing
    return say(_ROW).format(title=row.title, words=words) if words else ""


def _asked(cell: AskedCount | None) -> str:
    assert cell is not None
    if not cell.whole:
        return say(_NONE_DUE)
    if cell.missed:
        missed = ", ".join(timed(title, count) for title, count in Counter(cell.missed).items())
        words = say(_ASKED).format(done=cell.recorded, all=cell.whole, missed=missed)
    else:
        words = say(_ALL_ASKED).format(count=cell.whole)
    return say(_LATE).format(words=words, count=cell.late) if cell.late else words


@dataclass(frozen=True, slots=True)
class CourseTable:
    """The course as a table: the columns' names, and of each row its title and its cells in words."""

    names: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]


def table(course: WholeCourse) -> CourseTable:
    """All that is drawn, in words; what nobody recorded says so."""
    axis = course.axis
    numbers = range(axis.count)
    rows = [
        (row.title, tuple(cell_words(row, number) or _nothing(course, number) for number in numbers))
        for row in course.rows
        if not isinstance(row, Signs) or row.is_read
    ]
    happened = tuple("; ".join(each.words for each in _at(course, number)) for number in numbers)
    if any(happened):
        rows.append((say(mark("What happened")), happened))
    return CourseTable(tuple(axis.name(number) for number in numbers), tuple(rows))


def _nothing(course: WholeCourse, number: int) -> str:
    state = course.axis.columns[number].state
    return say(NOT_RECORDED if state is ColumnState.RECORDED else _STATES[state])


def lines(course: WholeCourse) -> Iterator[str]:
    """The whole course, a sentence a column."""
    return (sentence(course, number).text for number in range(course.axis.count))
