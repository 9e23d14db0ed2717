"""Lays blocks out on pages."""

from collections.abc import Callable

from carelog.analysis.drawing import Box, Dot, Fill, Label, Line
from carelog.sheet.blocks import (
    Block,
    Days,
    Facts,
    Handwriting,
    Heading,
    Item,
    Listing,
    PictureRow,
    Piece,
    Points,
    Sign,
    WordRow,
    words,
)
from carelog.sheet.columns import fill_columns
from carelog.sheet.page import Book
from carelog.sheet.wrap import Line as WrappedLine

GAP = 10.0


def lay_out(book: Book, block: Block) -> None:
    """Put one block on the book's pages."""
    match block:
        case Heading():
            _heading(book, block)
        case Facts():
            _facts(book, block)
        case Points():
            _points(book, block)
        case Days():
            _days(book, block)
        case Listing():
            fill_columns(book, block)
        case Handwriting():
            _handwriting(book, block)


def _heading(book: Book, block: Heading) -> None:
    page = book.style
    book.need(4.5 * page.leading)
    book.y += 1.5 * page.leading
    size = 1.15 * page.size
    text = book.letters.drawable(block.text)
    book.mark(block.text, 1)
    base = book.y - 0.25 * page.leading
    book.add(Label(page.margin, base, text, size, bold=True))
    if block.beside:
        x = page.margin + book.letters.width(text, True, size) + 6
        rest = page.width - page.margin - x
        book.add(Label(x, base, book.measure(rest).one_line(block.beside), page.size, soft=True))


def _facts(book: Book, block: Facts) -> None:
    page = book.style
    count = 1 if page.scale > 1 else block.columns
    width = (page.inner - (count - 1) * GAP) / count
    height = -(-len(block.rows) // count)
    columns = [block.rows[n * height : (n + 1) * height] for n in range(count)]
    label = max(book.letters.width(book.letters.drawable(name), True, page.size) for name, _ in block.rows)
    indent = min(label, 0.3 * width) + 5
    wrapped = [
        [(name, book.measure(width - indent).lines(text)) for name, text in column] for column in columns
    ]
    book.need(min(max(sum(len(lines) for _, lines in column) for column in wrapped), 12) * page.leading)
    top, lowest = book.y, book.y
    for number, column in enumerate(wrapped):
        x = page.margin + number * (width + GAP)
        book.y = top
        for name, lines in column:
            first = book.measure(indent - 3).one_line(name, True)
            book.add(Label(x, book.y + 0.78 * page.leading, first, page.size, bold=True))
            _lines(book, lines, x + indent)
        lowest = max(lowest, book.y)
    book.y = lowest


def _lines(book: Book, lines: list[WrappedLine], x: float) -> None:
    for line in lines:
        book.need(book.style.leading)
        book.y += book.style.leading
        book.line(x, book.y - 0.22 * book.style.leading, line)


def _points(book: Book, block: Points) -> None:
    page = book.style
    count = 1 if page.scale > 1 else block.columns
    if count == 1:
        for item in block.items:
            _item(book, item, page.margin, page.inner)
        return
    width = (page.inner - (count - 1) * GAP) / count
    for start in range(0, len(block.items), count):
        row = block.items[start : start + count]
        heights = [_item_height(book, item, width) for item in row]
        book.need(max(heights))
        top = book.y
        for number, item in enumerate(row):
            book.y = top
            _item(book, item, page.margin + number * (width + GAP), width)
        book.y = top + max(heights)


def _item_height(book: Book, item: Item, width: float) -> float:
    indent = _indent(book, item)
    measure = book.measure(width - indent)
    return book.style.leading * sum(len(measure.lines(text)) for text in (item.words, *item.under))


def _indent(book: Book, item: Item) -> float:
    return (0.0 if item.sign is Sign.NONE else 9.0) * book.style.scale


def _item(book: Book, item: Item, x: float, width: float) -> None:
    page = book.style
    indent = _indent(book, item)
    measure = book.measure(width - indent)
    first = measure.lines(item.words)
    under = [line for text in item.under for line in measure.lines(text)]
    book.need(page.leading * min(len(first) + min(len(under), 1), 4))
    if item.sign in _BARS:
        _BARS[item.sign](book, first[0], x, width)
        first = first[1:]
    elif item.sign is not Sign.NONE:
        shape(book, item.sign, x, book.y + 0.5 * page.leading)
    _lines(book, [*first, *under], x + indent)


def _urgent_bar(book: Book, line: WrappedLine, x: float, width: float) -> None:
    page = book.style
    book.add(Box(x, book.y, width, 1.25 * page.leading, Fill.INK, weight=0))
    text = "".join(piece.text for piece in line)
    book.add(Label(x + 4, book.y + 0.92 * page.leading, text, page.size, bold=True, reversed=True))
    book.y += 1.35 * page.leading


def _call_bar(book: Book, line: WrappedLine, x: float, width: float) -> None:
    page = book.style
    book.add(Box(x, book.y, width, 1.25 * page.leading, weight=0.8))
    book.add(Box(x, book.y, 6 * page.scale, 1.25 * page.leading, Fill.INK, weight=0))
    book.line(x + 10 * page.scale, book.y + 0.92 * page.leading, line)
    book.y += 1.35 * page.leading


def _note_bar(book: Book, line: WrappedLine, x: float, width: float) -> None:
    page = book.style
    book.add(Dot(x + 3 * page.scale, book.y + 0.6 * page.leading, 2.6 * page.scale))
    book.line(x + 10 * page.scale, book.y + 0.92 * page.leading, line)
    book.y += 1.2 * page.leading


_BARS: dict[Sign, Callable[[Book, WrappedLine, float, float], None]] = {
    Sign.URGENT: _urgent_bar,
    Sign.CALL: _call_bar,
    Sign.NOTE: _note_bar,
}


def shape(book: Book, sign: Sign, x: float, middle: float) -> None:
    """A small shape with its middle at this height."""
    side = 5.6 * book.style.scale
    top = middle - side / 2
    if sign is Sign.FULL:
        book.add(Box(x, top, side, side, Fill.INK))
    elif sign is Sign.OPEN:
        book.add(Box(x, top, side, side, weight=0.8))
    elif sign is Sign.HALF:
        book.add(Box(x, top, side, side, weight=0.8), Box(x, top, side / 2, side, Fill.INK, weight=0))
    elif sign is Sign.GAP:
        book.add(
            Box(x, top, side, side, weight=0.6, dashed=True),
            Line(x, top + side, x + side, top, weight=0.6),
        )


def _days(book: Book, block: Days) -> None:
    page = book.style
    width = page.day(len(block.names))
    book.need(4 * page.leading)
    _day_names(book, block, width)
    for row in block.rows:
        height = _row_height(book, row, width)
        if book.room < height:
            book.turn()
            _day_names(book, block, width)
        top = book.y
        _title_cell(book, row)
        if isinstance(row, PictureRow):
            book.add_drawing(row.drawing.parts, page.margin + page.left, top)
        else:
            _cells(book, row, top, width)
        book.y = top + height
        book.add(Line(page.margin, book.y, page.width - page.margin, book.y, weight=0.25))


def _day_names(book: Book, block: Days, width: float) -> None:
    page = book.style
    base = book.y + page.leading
    title = book.measure(page.left - 3).one_line(block.title, True)
    book.add(Label(page.margin, base, title, page.size, bold=True))
    for number, name in enumerate(block.names):
        text = book.letters.drawable(name)
        book.add(Label(page.margin + page.left + number * width + 2, base, text, page.size, bold=True))
    book.y += 1.3 * page.leading
    book.add(Line(page.margin, book.y, page.width - page.margin, book.y))


def _title_lines(book: Book, row: WordRow | PictureRow) -> list[WrappedLine]:
    measure = book.measure(book.style.left - 4)
    lines = measure.lines(words(row.title, bold=True))
    return [*lines, *measure.lines(words(row.beside))] if row.beside else lines


def _row_height(book: Book, row: WordRow | PictureRow, width: float) -> float:
    leading = book.style.leading
    title = len(_title_lines(book, row)) * leading + 0.3 * leading
    if isinstance(row, PictureRow):
        return max(title, row.drawing.height)
    return max(
        [
            title,
            *(len(_cell_lines(book, row, n, width)) * leading + 0.3 * leading for n in range(len(row.cells))),
        ]
    )


def _cell_lines(book: Book, row: WordRow, number: int, width: float) -> list[WrappedLine]:
    cell = row.cells[number]
    signs = len(cell.signs) * 7.6 * book.style.scale
    return book.measure(width - 4, signs + 2 if signs else 0).lines(cell.words)


def _title_cell(book: Book, row: WordRow | PictureRow) -> None:
    page, y = book.style, book.y
    for line in _title_lines(book, row):
        y += page.leading
        book.line(page.margin, y - 0.15 * page.leading, line)


def _cells(book: Book, row: WordRow, top: float, width: float) -> None:
    page = book.style
    for number, cell in enumerate(row.cells):
        x = page.margin + page.left + number * width + 2
        for place, sign in enumerate(cell.signs):
            shape(book, sign, x + place * 7.6 * page.scale, top + 0.62 * page.leading)
        lines = _cell_lines(book, row, number, width)
        for place, line in enumerate(lines):
            start = len(cell.signs) * 7.6 * page.scale + 2 if place == 0 and cell.signs else 0
            book.line(x + start, top + (place + 0.85) * page.leading, line)


def _handwriting(book: Book, block: Handwriting) -> None:
    page = book.style
    height = (2 + block.lines * 1.9) * page.leading
    book.need(height)
    width = page.inner / len(block.labels)
    for number, text in enumerate(block.labels):
        x = page.margin + number * width
        lines = book.measure(width - 6).lines((Piece(text, bold=True),))
        book.line(x, book.y + page.leading, lines[0])
        y = book.y + page.leading
        for _ in range(block.lines):
            y += 1.9 * page.leading
            book.add(Line(x, y, x + width - GAP, y))
    book.y += height
