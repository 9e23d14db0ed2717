"""Puts what is filled in by hand on pages: boxes for a gloved hand, lines to write on."""

from collections.abc import Sequence

from carelog.analysis.drawing import Anchor, Label, Rectangle, Straight
from carelog.sheet.blocks import Boxes, FormColumn, Heading, NewPage, Ruled, said, words
from carelog.sheet.page import MILLIMETRE, Book
from carelog.sheet.points import put_heading
from carelog.text import mark, say

BOX = 7.0  # mm: the side of a box, and at least the height of its row (our own choice for a gloved hand)
GAP = 6.0
FEWEST = 3  # boxes that stand together in large print
_TIME_BY = mark("time, by")


def put_new_page(book: Book, block: NewPage) -> None:
    """Begin a page unless this one is empty."""
    if len(book.leaves) > 1 or book.y > book.style.height / 2:
        book.turn()
    put_heading(book, Heading(block.title))


def put_boxes(book: Book, block: Boxes) -> None:
    """Two columns of boxes, down one and then the next; in large print one, over the page if need be."""
    if book.style.is_large:
        for start in range(0, len(block.labels), FEWEST):
            _put_column(book, Boxes("" if start else block.title, block.labels[start : start + FEWEST]), 1)
    else:
        _put_column(book, block, 2)


def _put_column(book: Book, block: Boxes, count: int) -> None:
    page, side = book.style, BOX * MILLIMETRE
    half = -(-len(block.labels) // count)
    book.need(1.4 * page.leading + half * (side + 2))
    if block.title:
        put_heading(book, Heading(block.title))
    width = (page.inner - GAP) / 2 if count == 2 else page.inner
    line = 84.0 * page.scale
    for number, label in enumerate(block.labels):
        x = page.margin + (number // half) * (width + GAP)
        y = book.y + (number % half) * (side + 2) + 2
        base = y + side - 5
        text = book.measure(width - side - 8 - line).one_line(label)
        book.add(
            Rectangle(x, y, side, side, weight=0.8),
            Label(x + side + 4, base, text, page.size),
            Straight(x + width - line, y + side, x + width, y + side),
            Label(x + width - line, base, say(_TIME_BY), page.size, soft=True),
        )
    book.y += half * (side + 2) + 2


def put_form(book: Book, block: Ruled) -> None:
    """The heads, then as many rows as there are; the heads stand again on a new page."""
    height = block.height * MILLIMETRE
    places = _places(book, block.columns)
    book.need((0.6 + _head_lines(block)) * book.style.leading + min(len(block.first), 3) * height)
    book.mark(block.title, 1)
    book.y += 0.4 * book.style.leading
    _heads(book, block, places)
    for number, first in enumerate(block.first):
        if book.room < height:
            book.turn()
            _heads(book, block, places)
        told = block.told[number] if block.told else ()
        _row(book, block, places, (first, *told), height)
        book.y += height
    book.y += 0.5 * book.style.leading if block.told else 0  # words may follow right under the last line


def _places(book: Book, columns: Sequence[FormColumn]) -> list[tuple[float, float]]:
    """Where each column begins, and how wide it is."""
    whole, x, found = sum(column.share for column in columns), book.style.margin, []
    for column in columns:
        width = book.style.inner * column.share / whole
        found.append((x, width))
        x += width
    return found


def _head_lines(block: Ruled) -> int:
    return 2 + any(column.is_box for column in block.columns)


def _heads(book: Book, block: Ruled, places: Sequence[tuple[float, float]]) -> None:
    """The groups' names over the first of each; names of boxes in turn on two lines: boxes are narrow."""
    page, lines = book.style, _head_lines(block)
    before, turn = "", 0
    room = places[1 if block.columns[1].group else min(2, len(places) - 1)][0] - places[0][0]
    titles = book.measure(room - 4).lines(words(block.title, bold=True))[: lines - 1]
    for number, line in enumerate(titles):
        book.line(places[0][0], book.y + (number + 0.9) * page.leading, line)
    if block.beside:
        name = said(titles[0])
        start = places[0][0] + book.letters.width(name, True, page.size) + 6
        book.add(Label(start, book.y + 0.9 * page.leading, book.letters.drawable(block.beside), page.size))
    for column, (x, width) in zip(block.columns, places, strict=True):
        if column.group and column.group != before:
            text = book.letters.drawable(column.group)
            book.add(Label(x + 1, book.y + 0.9 * page.leading, text, page.size, bold=True))
            turn = 0
        before = column.group
        base = book.y + (lines - 0.25) * page.leading
        if column.is_box:
            text = book.measure(2 * width - 2).one_line(column.name)
            book.add(Label(x + width / 2, base - (turn % 2) * page.leading, text, page.size, Anchor.MIDDLE))
            turn += 1
        else:
            text = book.measure(width - 4).one_line(column.name)
            is_last = column is block.columns[-1]
            at, anchor = (x + width, Anchor.END) if is_last else (x + 1, Anchor.START)
            book.add(Label(at, base, text, page.size, anchor, bold=True))
    book.y += lines * page.leading


def _row(
    book: Book, block: Ruled, places: Sequence[tuple[float, float]], told: Sequence[str], height: float
) -> None:
    texts = [*told, *[""] * len(places)]
    for column, (x, width), text in zip(block.columns, places, texts, strict=False):
        if column.is_box:
            side = min(width - 2, height - 2)
            left = x + (width - side) / 2
            book.add(Rectangle(left, book.y + 1, side, height - 2, weight=0.7))
            if text:
                low, middle = book.y + height - 3, left + side / 3
                book.add(Straight(left + 2, low - height / 3, middle, low, weight=1.6))
                book.add(Straight(middle, low, left + side - 2, book.y + 3, weight=1.6))
            continue
        book.add(Straight(x, book.y + height - 1, x + width - 3, book.y + height - 1))
        if text:
            shown, base = book.measure(width - 6).one_line(text), book.y + height - 4
            if block.told:
                book.add(Label(x + 1, base, shown, book.style.size))
            else:
                book.add(Label(x + width - 6, base, shown, book.style.size, Anchor.END, soft=True))
