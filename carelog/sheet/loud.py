"""Puts what must be found at a glance on a page, in boxes and large letters; and squares to tick by hand."""

from carelog.analysis.drawing import Label, Rectangle
from carelog.sheet.blocks import Loud, LoudBox, Ticks, words
from carelog.sheet.page import MILLIMETRE, Book
from carelog.sheet.wrap import Line as WrappedLine
from carelog.sheet.wrap import LineWidths

GAP = 4.0
PAD = 4.0
SQUARE = 4 * MILLIMETRE
SPACING = 1.16
"""From base line to base line, of the letters' size."""
Sized = tuple[WrappedLine, float]


def put_loud(book: Book, block: Loud) -> None:
    """Rows of boxes; those of one row are equally high."""
    page = book.style
    book.y += 0.5 * page.leading
    for row in block.rows:
        room = page.inner - GAP * (len(row) - 1)
        widths = [room * box.share for box in row]
        filled = [_lines(book, box, width - 2 * PAD) for box, width in zip(row, widths, strict=True)]
        height = max(sum(SPACING * size for _, size in lines) for lines in filled) + 1.5 * PAD
        book.need(height)
        x = page.margin
        for box, width, lines in zip(row, widths, filled, strict=True):
            book.add(Rectangle(x, book.y, width, height, weight=2.4 if box.heavy else 0.8))
            _put(book, x + PAD, lines)
            x += width + GAP
        book.y += height + GAP


def _lines(book: Book, box: LoudBox, width: float) -> list[Sized]:
    """The lines of a box with the size of each: large letters grow less where all letters are large."""
    page = book.style
    size = page.size * (1 + (box.size - 1) / page.scale)
    found: list[Sized] = [(line, page.size) for line in book.measure(width).lines(words(box.label))]
    found += [(line, size) for line in LineWidths(book.letters, size, width).lines(box.words)]
    for text in box.under:
        found += [(line, page.size) for line in book.measure(width).lines(text)]
    return found


def _put(book: Book, x: float, lines: list[Sized]) -> None:
    base = book.y + 0.5 * PAD
    for line, size in lines:
        base += SPACING * size
        start = x
        for piece in line:
            book.add(Label(start, base - 0.23 * size, piece.text, size, bold=piece.bold, struck=piece.struck))
            start += book.letters.width(piece.text, piece.bold, size)


def put_ticks(book: Book, block: Ticks) -> None:
    """Squares in lines as long as the page is wide, under their title."""
    page = book.style
    book.need(2 * page.leading + SQUARE)
    book.y += 0.6 * page.leading
    book.paragraph(words(block.title, bold=True), page.margin, page.inner)
    x, step = page.margin, max(SQUARE, page.leading) + 3
    book.y += 3
    for label in block.labels:
        text = book.measure(page.inner - SQUARE - 4).one_line(label)
        width = SQUARE + 4 + book.letters.width(text, False, page.size) + 12
        if x > page.margin and x + width > page.margin + page.inner:
            x = page.margin
            book.y += step
            book.need(step)
        book.add(
            Rectangle(x, book.y, SQUARE, SQUARE, weight=0.6),
            Label(x + SQUARE + 4, book.y + SQUARE / 2 + 0.35 * page.size, text, page.size),
        )
        x += width
    book.y += step
