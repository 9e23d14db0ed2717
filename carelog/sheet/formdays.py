"""Puts rows on pages that are filled in by hand, days side by side."""

from carelog.analysis.drawing import Anchor, Label, Rectangle, Straight
from carelog.sheet.blocks import DayLine, RuledDays, words
from carelog.sheet.formed import BOX
from carelog.sheet.page import MILLIMETRE, Book

LINE = 5.0  # mm: from line to line
GAP = 3.0
MOST_LINES = 2  # of a title beside a box
FEWEST = 3  # rows that stand under their heads


def put_days_form(book: Book, block: RuledDays) -> None:
    """The days' names, then as many rows as there are; the names stand again on a new page."""
    heights = [_height(book, row) for row in block.rows]
    book.need(3 * book.style.leading + sum(heights[:FEWEST]))
    book.mark(block.title, 1)
    _heads(book, block, block.beside)
    for row, height in zip(block.rows, heights, strict=True):
        if book.room < height:
            book.turn()
            _heads(book, block)
        _row(book, row, len(block.names))
        book.y += height


def _heads(book: Book, block: RuledDays, beside: str = "") -> None:
    """The title beside the days' names; above them where it is too long, or where more is said."""
    page = book.style
    title = book.measure(page.inner).one_line(block.title, True)
    end = book.letters.width(title, True, page.size) + 2 * GAP
    book.y += 1.4 * page.leading
    book.add(Label(page.margin, book.y, title, page.size, bold=True))
    if beside:
        text = book.measure(page.inner - end).one_line(beside)
        book.add(Label(page.margin + end, book.y, text, page.size))
    if beside or end > page.left:
        book.y += page.leading
    width = page.day(len(block.names))
    for number, name in enumerate(block.names):
        text = book.letters.drawable(name)
        book.add(Label(page.margin + page.left + number * width, book.y, text, page.size, bold=True))
    book.y += 0.5 * page.leading


def _line(book: Book) -> float:
    """From line to line, in points: as far as a hand needs, and as the letters do."""
    return max(LINE * MILLIMETRE, 1.1 * book.style.leading)


def _height(book: Book, row: DayLine) -> float:
    if row.lines:
        return len(row.lines) * _line(book) + 1.5 * MILLIMETRE
    title = len(book.measure(book.style.left - GAP).lines(words(row.title))[:MOST_LINES])
    return max((BOX + 1) * MILLIMETRE, (title + 0.2) * book.style.leading)


def _row(book: Book, row: DayLine, count: int) -> None:
    page, top = book.style, book.y
    width, side = page.day(count), BOX * MILLIMETRE
    bases = [top + number * _line(book) for number in range(1, len(row.lines) + 1)]
    title = book.measure(page.left - GAP)
    if not bases:
        lines = title.lines(words(row.title))[:MOST_LINES]
        for number, line in enumerate(reversed(lines)):
            book.line(page.margin, top + _height(book, row) - 6 - number * page.leading, line)
    for number, (name, base) in enumerate(zip(row.lines, bases, strict=True)):
        label = title.one_line(name)
        room = page.left - GAP - book.letters.width(label, False, page.size) - GAP
        if row.title and not number:
            book.add(Label(page.margin, base - 2, book.measure(room).one_line(row.title), page.size))
        book.add(Label(page.margin + page.left - GAP, base - 2, label, page.size, Anchor.END, soft=True))
    for day in range(count):
        x = page.margin + page.left + day * width
        if not bases:
            book.add(
                Rectangle(x, top, side, side, weight=0.8),
                Straight(x + side + GAP, top + side, x + width - GAP, top + side),
            )
        book.add(*(Straight(x, base, x + width - GAP, base) for base in bases))
