"""Puts a listing of entries into columns."""

from collections.abc import Callable, Iterator, Sequence
from functools import cache, partial

from carelog.analysis.drawing import Straight
from carelog.sheet.blocks import DayRows, Heading, Listing, Paragraphs, Piece, Words
from carelog.sheet.columns import Chunk, column_width, fill, gutter, parts, put_column
from carelog.sheet.page import Book
from carelog.sheet.points import put_heading
from carelog.sheet.runs import day_words, row_words, run_lines
from carelog.sheet.wrap import Line as WrappedLine
from carelog.sheet.wrap import LineWidths
from carelog.text import mark, say

WHOLE_UP_TO = 8  # lines of an entry that stay together
SHORTEST = 12  # lines of a column: a quiet week stands in few columns, its days in one piece
FEWEST = 4  # lines of them in large print at a page's foot
BETWEEN_DAYS = "    "
_GOES_ON = mark("… {day}")
Break = Callable[[Words], list[WrappedLine]]


def put_listing(book: Book, block: Listing) -> None:
    """The entries of each day in columns under their heading; with large letters in half as many."""
    if block.has_day_columns:
        _put_days(book, block)
        return
    shortest = FEWEST if book.style.is_large else SHORTEST
    book.need((1.4 + shortest) * book.style.leading)
    put_heading(book, Heading(block.title, block.beside))
    count = max(1, block.columns // 2) if book.style.is_large else block.columns
    width = column_width(book, count)
    broken = _broken_once(book, width)
    chunks = [chunk for group in block.groups for chunk in _chunks(book, group, width, broken)]
    fill(book, chunks, count, min(8, shortest) * book.style.leading, SHORTEST * book.style.leading)


def _put_days(book: Book, block: Listing) -> None:
    """One column a day, on one page where that is possible, else over as many as the longest needs."""
    width, heading = column_width(book, block.columns), 1.4 * book.style.leading
    broken = _broken_once(book, width)
    columns = [list(_chunks(book, group, width, broken)) for group in block.groups]
    if block.fewer and _depth(columns) > book.room - heading:
        fewer = [list(_chunks(book, group, width, broken)) for group in block.fewer]
        # In full where that fits a page; else in fewer lines where it saves one.
        if _depth(fewer) <= book.room - heading or _depth(columns) > book.whole - heading:
            columns = fewer
    if _depth(columns) + heading > book.room:
        book.turn()
    put_heading(book, Heading(block.title, block.beside))
    while any(columns):
        top, lowest = book.y, book.y
        for number, rest in enumerate(columns):
            book.y = top
            put_column(book, rest, book.style.margin + number * (width + gutter(block.columns)))
            lowest = max(lowest, book.y)
        book.y = lowest
        if any(columns):
            book.turn()


def _depth(columns: Sequence[Sequence[Chunk]]) -> float:
    return max((sum(chunk.height for chunk in column) for column in columns), default=0.0)


def put_paragraphs(book: Book, block: Paragraphs) -> None:
    """One paragraph a day, the entries one after the other; days that fit on one line share it."""
    put_heading(book, Heading(block.title, block.beside))
    chunks: list[Chunk] = []
    measure = book.measure(book.style.inner - _indent(book), -_indent(book))
    for day in _shared(measure, [day_words(group) for group in block.groups]):
        lines = measure.lines(day)
        for start, part in parts(lines, WHOLE_UP_TO):
            put = partial(_put_lines, lines=part, goes_on=start > 0)
            chunks.append(Chunk(len(part) * book.style.leading, put))
    fill(book, chunks, 1, 2 * book.style.leading)


def _shared(measure: LineWidths, days: Sequence[Words]) -> Iterator[Words]:
    """The days, those side by side as one that fit on one line."""
    line: Words = ()
    for day in days:
        both = (*line, Piece(BETWEEN_DAYS), *day) if line else day
        if line and len(measure.lines(both)) > 1:
            yield line
            both = day
        line = both
    if line:
        yield line


def _broken_once(book: Book, width: float) -> Break:
    """Breaks words into the lines of an entry, the same words once: they stand in both ways to list a day."""
    return cache(book.measure(width - _indent(book), -_indent(book)).lines)


def _chunks(book: Book, group: DayRows, width: float, broken: Break) -> Iterator[Chunk]:
    page, measure = book.style, book.measure(width)
    yield _day(book, measure.one_line(group.title, True), width, leads=True)
    again = _day(book, measure.one_line(say(_GOES_ON).format(day=group.title), True), width)
    if not group.rows and not group.runs:
        lines = measure.lines((Piece(group.empty),))
        yield Chunk(len(lines) * page.leading, partial(_put_lines, lines=lines, goes_on=False))
    for words in (*run_lines(group), *map(row_words, group.rows)):
        for start, part in parts(broken(words), WHOLE_UP_TO):
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


def _indent(book: Book) -> float:
    return 6 * book.style.scale
