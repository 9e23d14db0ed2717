"""Entries in columns like a newspaper's, over as many pages as they need."""

from collections.abc import Iterator
from dataclasses import dataclass

from carelog.analysis.drawing import Line
from carelog.sheet.blocks import Group, Listing, Piece, Row, Sign
from carelog.sheet.page import Book
from carelog.sheet.wrap import Line as WrappedLine
from carelog.text import say

GUTTER = 8.0
WHOLE_UP_TO = 8  # lines of an entry that stay together


@dataclass(frozen=True, slots=True)
class Strip:
    """Lines that stay together in one column; `title` begins a day, `day` is the day they belong to."""

    lines: tuple[WrappedLine, ...]
    day: str
    title: bool = False
    signs: tuple[Sign, ...] = ()


def fill_columns(book: Book, block: Listing) -> None:
    """Lay a listing out: full columns page after page, the last page's columns equally long."""
    page = book.style
    count = max(1, block.columns // 2) if page.scale > 1 else block.columns
    width = (page.inner - (count - 1) * GUTTER) / count
    rest = [strip for group in block.groups for strip in _strips(book, group, width)]
    while rest:
        if book.room < 8 * page.leading:
            book.turn()
        most = int(book.room // page.leading)
        depth = _depth(rest, count, most)
        rest = _page(book, rest, count, width, depth)
        if rest:
            book.turn()


def _strips(book: Book, group: Group, width: float) -> Iterator[Strip]:
    measure = book.measure(width)
    title = measure.one_line(group.title, True)
    yield Strip(((Piece(title, bold=True),),), group.title, title=True)
    if not group.rows:
        yield Strip(tuple(measure.lines((Piece(group.empty),))), group.title)
    for row in group.rows:
        lines = _row_lines(book, row, width)
        for start in range(0, len(lines), WHOLE_UP_TO):
            yield Strip(tuple(lines[start : start + WHOLE_UP_TO]), group.title)


def _row_lines(book: Book, row: Row, width: float) -> list[WrappedLine]:
    parts = [Piece(f"{row.time} ", struck=row.struck), Piece(row.title, bold=True, struck=row.struck)]
    if row.details:
        parts.append(Piece(f" {row.details}", struck=row.struck))
    if row.by:
        parts.append(Piece(f" {row.by}"))
    if row.marks:
        parts.append(Piece(f" [{'; '.join(row.marks)}]", bold=True))
    return book.measure(width - 6 * book.style.scale, -6 * book.style.scale).lines(tuple(parts))


def _placed(rest: list[Strip], count: int, depth: int) -> list[list[Strip]]:
    """As much as fits into so many columns of so many lines, filled one after the other."""
    columns: list[list[Strip]] = [[]]
    used = 0
    for number, strip in enumerate(rest):
        need = len(strip.lines)
        if strip.title and number + 1 < len(rest):
            need += len(rest[number + 1].lines)
        if used + need > depth and used:
            if len(columns) == count:
                return columns
            columns.append([])
            used = 0
        if not columns[-1] and not strip.title:
            used += 1  # the day's name once more
        columns[-1].append(strip)
        used += len(strip.lines)
    return columns


def _depth(rest: list[Strip], count: int, most: int) -> int:
    """The fewest lines a column needs to hold all of it, or the whole page's."""
    if sum(map(len, _placed(rest, count, most))) < len(rest):
        return most
    low, high = 1, most
    while low < high:
        middle = (low + high) // 2
        if sum(map(len, _placed(rest, count, middle))) == len(rest):
            high = middle
        else:
            low = middle + 1
    return low


def _page(book: Book, rest: list[Strip], count: int, width: float, depth: int) -> list[Strip]:
    page, top = book.style, book.y
    columns = _placed(rest, count, depth)
    lowest = top
    for number, column in enumerate(columns):
        x = page.margin + number * (width + GUTTER)
        book.y = top
        if column and not column[0].title:
            again = say("{day} (goes on)").format(day=column[0].day)
            _day(book, book.measure(width).one_line(again, True), x, width)
        for strip in column:
            _strip(book, strip, x, width)
        lowest = max(lowest, book.y)
    book.y = lowest
    return rest[sum(map(len, columns)) :]


def _day(book: Book, text: str, x: float, width: float) -> None:
    page = book.style
    book.y += page.leading
    book.line(x, book.y - 0.25 * page.leading, (Piece(text, bold=True),))
    book.add(Line(x, book.y, x + width, book.y, weight=0.5))


def _strip(book: Book, strip: Strip, x: float, width: float) -> None:
    if strip.title:
        _day(book, strip.lines[0][0].text, x, width)
        return
    page = book.style
    for number, line in enumerate(strip.lines):
        book.y += page.leading
        book.line(x + (0 if number == 0 else 6 * page.scale), book.y - 0.2 * page.leading, line)
