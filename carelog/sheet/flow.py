"""Lays blocks out on pages."""

from collections.abc import Sequence
from itertools import takewhile
from typing import NamedTuple

from carelog.analysis.drawing import Dot, Fill, Label, Rectangle, Straight
from carelog.sheet.blocks import (
    Block,
    Boxes,
    Cards,
    Cell,
    Compared,
    Days,
    Facts,
    Figure,
    Handwriting,
    Heading,
    Listing,
    Loud,
    NewPage,
    Paragraphs,
    PictureRow,
    Piece,
    Points,
    Ruled,
    RuledDays,
    Shape,
    Spread,
    Tabled,
    Ticks,
    WordRow,
    Words,
    words,
)
from carelog.sheet.cards import put_cards
from carelog.sheet.formdays import put_days_form
from carelog.sheet.formed import put_boxes, put_form, put_new_page
from carelog.sheet.listed import put_listing, put_paragraphs
from carelog.sheet.loud import put_loud, put_ticks
from carelog.sheet.page import Book
from carelog.sheet.points import INDENT, put_compared, put_heading, put_points, put_spread
from carelog.sheet.tables import put_table
from carelog.sheet.wrap import Line as WrappedLine

GAP = 10.0


def lay_out(book: Book, block: Block) -> None:
    """Put one block on the book's pages."""
    match block:
        case Heading():
            put_heading(book, block)
        case Facts():
            _facts(book, block)
        case Points():
            put_points(book, block)
        case Spread():
            put_spread(book, block)
        case Compared():
            put_compared(book, block)
        case Days():
            _days(book, block)
        case Listing():
            put_listing(book, block)
        case Paragraphs():
            put_paragraphs(book, block)
        case Handwriting():
            _handwriting(book, block)
        case Loud():
            put_loud(book, block)
        case Ticks():
            put_ticks(book, block)
        case Figure():
            _figure(book, block)
        case Tabled():
            put_table(book, block)
        case Ruled():
            put_form(book, block)
        case RuledDays():
            put_days_form(book, block)
        case Boxes():
            put_boxes(book, block)
        case NewPage():
            put_new_page(book, block)
        case Cards():
            put_cards(book, block)


def _facts(book: Book, block: Facts) -> None:
    page = book.style
    count = 1 if page.is_large else block.columns
    width = (page.inner - (count - 1) * GAP) / count
    wrapped = [_fact_lines(book, name, text, width) for name, text in block.rows]
    columns = [wrapped] if count == 1 else _halves(wrapped)
    depth = max(sum(map(len, column)) for column in columns)
    book.need((min(depth, 4 if page.is_large else 20) + (1.4 if block.title else 0)) * page.leading)
    if block.title:
        put_heading(book, Heading(block.title))
    top, lowest = book.y, book.y
    for number, column in enumerate(columns):
        book.y = top
        for lines in column:
            _lines(book, lines[:1], page.margin + number * (width + GAP))
            _lines(book, lines[1:], page.margin + number * (width + GAP) + INDENT * page.scale)
        lowest = max(lowest, book.y) if count > 1 else book.y  # one column may go on over the page
    book.y = lowest


def _halves(facts: list[list[WrappedLine]]) -> list[list[list[WrappedLine]]]:
    """Two columns as equally long as the order allows."""

    def depth(place: int) -> int:
        return max(sum(map(len, facts[:place])), sum(map(len, facts[place:])))

    place = min(range(len(facts), -1, -1), key=depth)
    return [facts[:place], facts[place:]]


def _fact_lines(book: Book, name: str, text: Words, width: float) -> list[WrappedLine]:
    indent = INDENT * book.style.scale
    return book.measure(width - indent, -indent).lines((Piece(f"{name}: ", bold=True), *text))


def _lines(book: Book, lines: list[WrappedLine], x: float) -> None:
    for line in lines:
        book.need(book.style.leading)
        book.y += book.style.leading
        book.line(x, book.y - 0.22 * book.style.leading, line)


def shape(book: Book, sign: Shape, x: float, middle: float) -> None:
    """A small shape with its middle at this height."""
    side = 5.6 * book.style.scale
    top = middle - side / 2
    if sign is Shape.FULL:
        low, turn = top + side, x + 0.35 * side
        book.add(
            Straight(x, top + 0.55 * side, turn, low, weight=1.3),
            Straight(turn, low, x + side, top, weight=1.3),
        )
    elif sign is Shape.OUT:
        book.add(Dot(x + side / 2, middle, side / 2, Fill.INK))
    elif sign is Shape.OPEN:
        book.add(Rectangle(x, top, side, side, weight=0.8))
    elif sign is Shape.HALF:
        book.add(
            Rectangle(x, top, side, side, weight=0.8), Rectangle(x, top, side / 2, side, Fill.INK, weight=0)
        )
    elif sign is Shape.GAP:
        book.add(
            Rectangle(x, top, side, side, weight=0.6, dashed=True),
            Straight(x, top + side, x + side, top, weight=0.6),
        )


class _Broken(NamedTuple):
    """A row of days with its words in lines, and how high it is, in points."""

    row: WordRow | PictureRow
    title: list[WrappedLine]
    cells: list[list[WrappedLine]]
    height: float


def _days(book: Book, block: Days) -> None:
    page = book.style
    width = page.day(len(block.names))
    book.need(6 * page.leading)
    book.y += 0.4 * page.leading
    book.mark(block.title, 1)
    _day_names(book, block, width)
    rows = [_broken(book, row, width) for row in block.rows]
    for number, broken in enumerate(rows):
        row, top = broken.row, book.y
        if book.room < (broken.height if row.below else _group_height(book, rows[number:])):
            book.turn()
            _day_names(book, block, width)
            top = book.y
        elif number and not row.below:
            book.add(Straight(page.margin, top, page.width - page.margin, top, weight=0.25))
        _put_title(book, broken)
        if isinstance(row, PictureRow):
            book.add_drawing(row.drawing.parts, page.margin + page.left, top)
        else:
            _put_cells(book, row, broken.cells, width)
        book.y = top + broken.height


def _figure(book: Book, block: Figure) -> None:
    """Each picture whole; the table of its words stands on the page for a browser alone."""
    book.mark(block.title, 1)
    for each in block.drawings:
        book.y += 0.4 * book.style.leading
        book.need(min(each.height, book.style.height / 2))
        if book.room < each.height:
            book.turn()
        book.add_drawing(each.parts, book.style.margin, book.y)
        book.y += each.height + 0.4 * book.style.leading


def _group_height(book: Book, rows: Sequence[_Broken]) -> float:
    """The height of the first row with those that belong to it, unless they are too many to keep together."""
    below = takewhile(lambda each: each.row.below, rows[1:])
    heights = [rows[0].height, *(each.height for each in below)]
    return sum(heights) if sum(heights) < 0.3 * book.style.height else heights[0]


def _day_names(book: Book, block: Days, width: float) -> None:
    page = book.style
    base = book.y + page.leading
    title = book.measure(page.left - 3).one_line(block.title, True)
    book.add(Label(page.margin, base, title, page.size, bold=True))
    for number, name in enumerate(block.names):
        text = book.letters.drawable(name)
        book.add(Label(page.margin + page.left + number * width + 2, base, text, page.size, bold=True))
    book.y += 1.3 * page.leading
    book.add(Straight(page.margin, book.y, page.width - page.margin, book.y))


def _broken(book: Book, row: WordRow | PictureRow, width: float) -> _Broken:
    title, leading = _title_lines(book, row), book.style.leading
    white = (0.04 if book.style.is_large else 0.12) * leading
    if isinstance(row, PictureRow):
        return _Broken(row, title, [], max(len(title) * leading + white, row.drawing.height))
    cells = [_cell_lines(book, row, cell, width) for cell in row.cells]
    return _Broken(row, title, cells, max(map(len, [title, *cells])) * leading + white)


def _title_lines(book: Book, row: WordRow | PictureRow) -> list[WrappedLine]:
    measure = book.measure(book.style.left - 4)
    lines = measure.lines(words(row.title, bold=True))
    return [*lines, *measure.lines(words(row.beside))] if row.beside else lines


def _cell_lines(book: Book, row: WordRow, cell: Cell, width: float) -> list[WrappedLine]:
    signs = len(cell.signs) * 7.6 * book.style.scale
    return book.measure(width * row.spans - 4, signs + 2 if signs else 0).lines(cell.words)


def _put_title(book: Book, broken: _Broken) -> None:
    page, y = book.style, book.y
    for line in broken.title:
        y += page.leading
        book.line(page.margin, y - 0.15 * page.leading, line)


def _put_cells(book: Book, row: WordRow, cells: Sequence[list[WrappedLine]], width: float) -> None:
    page, top = book.style, book.y
    for number, (cell, lines) in enumerate(zip(row.cells, cells, strict=True)):
        x = page.margin + page.left + number * row.spans * width + 2
        for place, sign in enumerate(cell.signs):
            shape(book, sign, x + place * 7.6 * page.scale, top + 0.62 * page.leading)
        for place, line in enumerate(lines):
            start = len(cell.signs) * 7.6 * page.scale + 2 if place == 0 and cell.signs else 0
            book.line(x + start, top + (place + 0.85) * page.leading, line)


def _handwriting(book: Book, block: Handwriting) -> None:
    page = book.style
    height = (1.4 + block.lines * 1.9) * page.leading
    book.need(height)
    x = page.margin
    for text, share in block.labels:
        width = page.inner * share
        label = book.measure(width - GAP).one_line(text, True)
        book.line(x, book.y + 1.2 * page.leading, (Piece(label, bold=True),))
        y = book.y + 1.2 * page.leading
        for _ in range(block.lines):
            y += 1.9 * page.leading
            book.add(Straight(x, y, x + width - (0 if share == block.labels[-1][1] else GAP), y))
        x += width
    book.y += height
