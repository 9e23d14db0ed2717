"""Puts headings and lists of points on pages, each level of a flag in its own shape."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from carelog.analysis.compare import Unlike
from carelog.analysis.compared import compared
from carelog.analysis.drawing import Dot, Fill, Label, Rectangle
from carelog.sheet.blocks import Compared, Heading, Item, Piece, Points, Shape, Spread, said, words
from carelog.sheet.columns import Chunk, column_width, fill, parts
from carelog.sheet.page import Book
from carelog.sheet.wrap import Line as WrappedLine
from carelog.sheet.wrap import LineWidths

WHOLE_UP_TO = 16  # lines of a point that stay together
LARGE_UP_TO = 5  # in large print, of which a page has two dozen lines
PICTURE = 62.0  # points at 8 pt: how wide the picture of a difference is
INDENT = 6.0
HEADING = 1.12  # times the text's size


def put_points(book: Book, block: Points) -> None:
    """A list over the whole width."""
    fill(book, list(_items(book, block, book.style.inner)), 1, 2 * book.style.leading)


def put_spread(book: Book, block: Spread) -> None:
    """Headings and lists in columns; with large letters in one."""
    count = block.columns
    width = column_width(book, count)
    book.y += 0.4 * book.style.leading
    chunks: list[Chunk] = []
    for each in block.blocks:
        if isinstance(each, Heading):
            chunks.append(_heading(book, each, width))
        elif isinstance(each, Compared):
            chunks += _differences(book, each, width)
        else:
            chunks += _items(book, each, width)
    fill(book, chunks, count, (4 if book.style.is_large else 8) * book.style.leading)


def put_compared(book: Book, block: Compared) -> None:
    """What is different, over the whole width."""
    fill(book, list(_differences(book, block, book.style.inner)), 1, 2 * book.style.leading)


def _differences(book: Book, block: Compared, width: float) -> Iterator[Chunk]:
    for row in block.rows:
        indent = INDENT * book.style.scale
        room = width - (PICTURE + 6) * book.style.scale
        text = (Piece(f"{row.title} ", bold=True), Piece(row.words))
        lines = book.measure(room - indent, -indent).lines(text)
        put = partial(_put_difference, lines=lines, row=row, width=width)
        yield Chunk(len(lines) * book.style.leading, put)


def _put_difference(book: Book, x: float, lines: Sequence[WrappedLine], row: Unlike, width: float) -> None:
    _put_lines(book, x, lines, goes_on=False)
    wide = PICTURE * book.style.scale
    picture = compared(row, wide, book.style.leading)
    book.add_drawing(picture.parts, x + width - wide, book.y)


def put_heading(book: Book, block: Heading) -> None:
    """A heading over the whole width, kept with what follows."""
    chunk = _heading(book, block, book.style.inner)
    book.need(chunk.height + 3 * book.style.leading)
    chunk.put(book, book.style.margin)
    book.y += chunk.height


def _heading(book: Book, block: Heading, width: float) -> Chunk:
    page = book.style
    lines = LineWidths(book.letters, HEADING * page.size, width).lines(words(block.text, bold=True))
    height = (1.4 + HEADING * (len(lines) - 1)) * page.leading
    return Chunk(height, partial(_put_heading, block=block, lines=lines, width=width), leads=True)


def _put_heading(book: Book, x: float, block: Heading, lines: Sequence[WrappedLine], width: float) -> None:
    page = book.style
    size = HEADING * page.size
    book.mark(block.text, 1)
    base = book.y + 1.1 * page.leading
    text = ""
    for number, line in enumerate(lines):
        base += HEADING * page.leading if number else 0
        text = said(line)
        book.add(Label(x, base, text, size, bold=True))
    if block.beside:
        start = book.letters.width(text, True, size) + 5
        beside = book.measure(width - start).one_line(block.beside)
        book.add(Label(x + start, base, beside, page.size, soft=True))


def _items(book: Book, block: Points, width: float) -> Iterator[Chunk]:
    leading = book.style.leading
    for item in block.items:
        if item.sign in _BARS:
            lines = book.measure(width - 14 * book.style.scale).lines(item.words)
            put = partial(_BARS[item.sign], lines=lines, width=width)
            yield Chunk((0.45 + len(lines)) * leading, put, leads=True)
            continue
        goes_on = False
        for part in item_parts(book, item, width):
            yield Chunk(len(part) * leading, partial(_put_lines, lines=part, goes_on=goes_on))
            goes_on = True


def item_parts(book: Book, item: Item, width: float) -> Iterator[Sequence[WrappedLine]]:
    """A point's lines as parts that stay together: a long one only breaks before what stands under it."""
    first, *under = item_lines(book, item, width)
    most = LARGE_UP_TO if book.style.is_large else WHOLE_UP_TO
    if sum(map(len, (first, *under))) <= most:
        yield [*first, *(line for lines in under for line in lines)]
        return
    if under:
        first, *under = [*first, *under[0]], *under[1:]
    for lines in (first, *under):
        yield from (part for _, part in parts(lines, most))


def item_lines(book: Book, item: Item, width: float) -> list[list[WrappedLine]]:
    """A point's own lines, the first of them hanging out to the left, and those of each text under it."""
    indent = INDENT * book.style.scale
    measure = book.measure(width - indent)
    return [book.measure(width - indent, -indent).lines(item.words), *map(measure.lines, item.under)]


def _put_lines(book: Book, x: float, lines: Sequence[WrappedLine], goes_on: bool) -> None:
    page = book.style
    for number, line in enumerate(lines):
        indent = INDENT * page.scale if number or goes_on else 0.0
        book.line(x + indent, book.y + (number + 0.8) * page.leading, line)


def _urgent_bar(book: Book, x: float, lines: Sequence[WrappedLine], width: float) -> None:
    page = book.style
    book.add(Rectangle(x, book.y + 1, width, (0.25 + len(lines)) * page.leading, Fill.INK, weight=0))
    for number, line in enumerate(lines, 1):
        start = x + 4
        for piece in line:
            base = book.y + number * page.leading
            book.add(Label(start, base, piece.text, page.size, bold=piece.bold, reversed=True))
            start += book.letters.width(piece.text, piece.bold, page.size)


def _call_bar(book: Book, x: float, lines: Sequence[WrappedLine], width: float) -> None:
    page, height = book.style, (0.25 + len(lines)) * book.style.leading
    book.add(Rectangle(x, book.y + 1, width, height, weight=0.8))
    book.add(Rectangle(x, book.y + 1, 6 * page.scale, height, Fill.INK, weight=0))
    _put_beside(book, x, lines)


def _note_bar(book: Book, x: float, lines: Sequence[WrappedLine], width: float) -> None:
    del width
    page = book.style
    book.add(Dot(x + 3 * page.scale, book.y + 0.7 * page.leading, 2.6 * page.scale))
    _put_beside(book, x, lines)


def _put_beside(book: Book, x: float, lines: Sequence[WrappedLine]) -> None:
    for number, line in enumerate(lines, 1):
        book.line(x + 10 * book.style.scale, book.y + number * book.style.leading, line)


_BARS: dict[Shape, Callable[..., None]] = {
    Shape.URGENT: _urgent_bar,
    Shape.CALL: _call_bar,
    Shape.NOTE: _note_bar,
}
