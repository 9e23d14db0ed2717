"""Puts a listing of entries into columns."""

from collections.abc import Iterator, Sequence
from functools import partial

from carelog.analysis.drawing import Straight
from carelog.sheet.blocks import DayRows, Listing, Piece, Row
from carelog.sheet.columns import Chunk, column_width, fill, parts
from carelog.sheet.page import Book
from carelog.sheet.wrap import Line as WrappedLine
from carelog.text import mark, say

WHOLE_UP_TO = 8  # lines of an entry that stay together
SHORTEST = 12  # lines of a column: a quiet week stands in few columns, its days in one piece
_GOES_ON = mark("… {day}")


def put_listing(book: Book, block: Listing) -> None:
    """The entries of each day in columns; with large letters in half as many."""
    count = max(1, block.columns // 2) if book.style.scale > 1 else block.columns
    width = column_width(book, count)
    chunks = [chunk for group in block.groups for chunk in _chunks(book, group, width)]
    fill(book, chunks, count, 8 * book.style.leading, SHORTEST * book.style.leading)


def _chunks(book: Book, group: DayRows, width: float) -> Iterator[Chunk]:
    page, measure = book.style, book.measure(width)
    yield _day(book, measure.one_line(group.title, True), width, leads=True)
    again = _day(book, measure.one_line(say(_GOES_ON).format(day=group.title), True), width)
    if not group.rows:
        lines = measure.lines((Piece(group.empty),))
        yield Chunk(len(lines) * page.leading, partial(_put_lines, lines=lines, goes_on=False))
    for row in group.rows:
        lines = row_lines(book, row, width)
        for start, part in parts(lines, WHOLE_UP_TO):
            put = partial(_put_lines, lines=part, goes_on=start > 0)
            yield Chunk(len(part) * page.leading, put, again=again)


def _day(book: Book, title: str, width: float, leads: bool = False) -> Chunk:
    return Chunk(1.25 * book.style.leading, partial(_put_day, title=title, width=width), leads)


def _put_day(book: Book, x: float, title: str, width: float) -> None:
    page = book.style
    book.line(x, book.y + page.leading, (Piece(title, bold=True),))
    base = book.y + 1.2 * page.leading
    book.add(Straight(x, base, x + width, base))


def _put_lines(book: Book, x: float, lines: Sequence[WrappedLine], goes_on: bool) -> None:
    page = book.style
    for number, line in enumerate(lines):
        indent = 6 * page.scale if number or goes_on else 0.0
        book.line(x + indent, book.y + (number + 0.8) * page.leading, line)


def row_lines(book: Book, row: Row, width: float) -> list[WrappedLine]:
    """One entry in lines: time, kind, details, initials, and its marks in half-bold."""
    parts = [Piece(f"{row.time} ", struck=row.struck), Piece(row.title, row.bold, row.struck)]
    if row.details:
        parts.append(Piece(f" {row.details}", struck=row.struck))
    if row.by:
        parts.append(Piece(f" {row.by}"))
    if row.marks:
        parts.append(Piece(f" [{'; '.join(row.marks)}]", bold=True))
    indent = 6 * book.style.scale
    return book.measure(width - indent, -indent).lines(tuple(parts))
