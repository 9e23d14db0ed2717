"""Puts tables on pages: heads again on each page, a row in one piece, a hairline after each."""

from collections.abc import Sequence

from carelog.analysis.drawing import Straight
from carelog.sheet.blocks import Heading, Tabled, TableRow, words
from carelog.sheet.page import Book
from carelog.sheet.points import INDENT, put_heading
from carelog.sheet.wrap import Line as WrappedLine

GAP = 5.0


def put_table(book: Book, block: Tabled) -> None:
    """The heads and as many rows a page as fit."""
    page = book.style
    widths = _widths(book, block)
    heads = _wrapped(book, [name for name, _ in block.heads], widths, bold=True)
    put_heading(book, Heading(block.title))
    _heads(book, heads, widths)
    for row in block.rows:
        cells = _wrapped(book, row.cells, widths)
        under = _under(book, row)
        height = (_depth(cells) + len(under) + 0.35) * page.leading
        if book.room < height:
            book.turn()
            _heads(book, heads, widths)
        _row(book, cells, widths)
        for line in under:
            book.y += page.leading
            book.line(page.margin + INDENT * page.scale, book.y - 0.2 * page.leading, line)
        _rule(book, 0.25)


def _widths(book: Book, block: Tabled) -> list[float]:
    """Each column's share of the width; one whose words don't fit takes room from those that have some."""
    widths = [book.style.inner * share for _, share in block.heads]
    needs = [_longest(book, name, True) + GAP for name, _ in block.heads]
    for row in block.rows:
        for number, cell in enumerate(row.cells):
            needs[number] = max(needs[number], _longest(book, cell, not number) + GAP)
    lacking = sum(max(need - width, 0) for need, width in zip(needs, widths, strict=True))
    spare = sum(max(width - need, 0) for need, width in zip(needs, widths, strict=True))
    if not 0 < lacking <= spare:
        return widths
    kept = 1 - lacking / spare
    return [
        need + (width - need) * kept if width > need else need
        for need, width in zip(needs, widths, strict=True)
    ]


def _longest(book: Book, text: str, bold: bool) -> float:
    """How wide the widest word is."""
    letters = book.letters
    found = (letters.tokens[bold][letters.drawable(word)] for word in text.split())
    return max(found, default=0.0) * book.style.size


def _wrapped(
    book: Book, cells: Sequence[str], widths: Sequence[float], bold: bool = False
) -> list[list[WrappedLine]]:
    """Each cell in lines; the first, which names its row, in half-bold."""
    return [
        book.measure(width - GAP).lines(words(cell, bold=bold or not number))
        for number, (cell, width) in enumerate(zip(cells, widths, strict=True))
    ]


def _under(book: Book, row: TableRow) -> list[WrappedLine]:
    page = book.style
    return book.measure(page.inner - INDENT * page.scale).lines(words(row.under)) if row.under else []


def _depth(cells: Sequence[Sequence[WrappedLine]]) -> int:
    return max(len(lines) for lines in cells)


def _heads(book: Book, heads: Sequence[Sequence[WrappedLine]], widths: Sequence[float]) -> None:
    _row(book, heads, widths)
    _rule(book, 0.8)


def _row(book: Book, cells: Sequence[Sequence[WrappedLine]], widths: Sequence[float]) -> None:
    page, x = book.style, book.style.margin
    for lines, width in zip(cells, widths, strict=True):
        for number, line in enumerate(lines):
            book.line(x, book.y + (number + 0.85) * page.leading, line)
        x += width
    book.y += _depth(cells) * page.leading


def _rule(book: Book, weight: float) -> None:
    page = book.style
    book.y += 0.2 * page.leading
    book.add(Straight(page.margin, book.y, page.width - page.margin, book.y, weight=weight))
    book.y += 0.15 * page.leading
