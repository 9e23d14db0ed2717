"""A blank sheet for a week, days side by side: the rows of a blank day, with words in place of most boxes."""

from collections.abc import Iterator, Sequence
from datetime import date

from carelog.analysis.blankday import BlankPart, BlankRow
from carelog.analysis.times import short_day
from carelog.domain.field import Choice, Field
from carelog.domain.kind import Draw
from carelog.sheet.blocks import (
    Block,
    DayLine,
    Facts,
    FormColumn,
    NewPage,
    Ruled,
    RuledDays,
    Words,
    words,
)
from carelog.text import mark, say

MOST_DAYS = 7
NOTE_LINES = 5
NOTE_HEIGHT = 5.0  # mm
TIME_BY = mark("time, by")
_ON_THE_LINE = mark("on the line: time, by")
_WORDS = mark("Words to write")
_CAME_UP = mark("what came up")


def week_blocks(parts: Sequence[BlankPart], days: Sequence[date], who: str) -> Iterator[Block]:
    """The days side by side: what is done and read first, what is counted after it, notes at the end."""
    names = tuple(short_day(day) for day in days)
    noted = [part for part in parts if part.has_note and not part.fields]
    rest = [part for part in parts if part not in noted]
    counted = [part for part in rest if part.rows[0].fields and part.kind.draw is Draw.COUNT]
    yield NewPage(who)
    for part in rest:
        if part not in counted:
            beside = part.beside if part.fields else say(_ON_THE_LINE)
            yield RuledDays(part.title, names, tuple(_rows(part)), beside)
    for title in dict.fromkeys(part.kind.title for part in counted):
        same = [part for part in counted if part.kind.title == title]
        rows = tuple(DayLine("", (say(TIME_BY), say(_CAME_UP))) for part in same for _ in part.rows)
        yield RuledDays(same[0].title, names, rows, same[0].beside)
    yield from (_notes(part) for part in noted)
    yield from words_to_write(rest)


def words_to_write(parts: Sequence[BlankPart]) -> Iterator[Block]:
    """The words that the program uses, where there are none to tick."""
    told = tuple(_told(parts))
    if told:
        yield Facts(told, columns=1, title=say(_WORDS))


def _rows(part: BlankPart) -> Iterator[DayLine]:
    for row in part.rows:
        lines = tuple(_line(row, part, name) for name in part.fields)
        if lines:
            yield DayLine(row.clock, (say(TIME_BY), *lines))
        else:
            yield DayLine(f"{row.title} {row.clock}".strip())


def _line(row: BlankRow, part: BlankPart, name: str) -> str:
    field = part.kind.field(name)
    return named(field, row) if field is not None else name


def named(field: Field, row: BlankRow) -> str:
    """What a field is called, with its unit."""
    label = say(field.label) or say(field.asked)
    unit = next(iter(row.details.values()), "") or say(getattr(field.type, "unit", ""))
    return f"{label}, {unit}" if unit else label


def _notes(part: BlankPart) -> Ruled:
    columns = (
        FormColumn(say(mark("day, time")), 3.0),
        FormColumn(say(mark("in words")), 12.0),
        FormColumn(say(mark("by")), 1.8),
    )
    return Ruled(part.title, columns, ("",) * NOTE_LINES, height=NOTE_HEIGHT)


def _told(parts: Sequence[BlankPart]) -> Iterator[tuple[str, Words]]:
    """The words that the program uses, for what is chosen from: they are ticked when it is typed in."""
    told: dict[str, dict[str, str]] = {}
    for part in parts:
        for name in part.fields:
            field = part.kind.field(name)
            if field is not None and isinstance(field.type, Choice):
                label = say(field.label) or say(field.asked)
                options = ", ".join(say(option.label) for option in field.type.options)
                told.setdefault(say(part.kind.title), {})[label] = options
    for title, fields in told.items():
        yield title, words("; ".join(f"{label}: {options}" for label, options in fields.items()))
