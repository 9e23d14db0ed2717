"""Puts cards on a page: two panels each, one above the other, a fold between them, cut lines around them."""

from collections.abc import Sequence

from carelog.analysis.drawing import Anchor, Label, Rectangle, Straight
from carelog.sheet.blocks import Card, CardLine, Cards, words
from carelog.sheet.code import QUIET, Modules, code_parts, modules
from carelog.sheet.page import MILLIMETRE, Book
from carelog.sheet.wrap import NEW_LINE, LineWidths
from carelog.sheet.wrap import Line as WrappedLine
from carelog.text import mark, say

WIDTH, PANEL = 85.6 * MILLIMETRE, 54 * MILLIMETRE
"""A panel is as large as a bank card (ISO/IEC 7810, ID-1)."""
PAD = 3 * MILLIMETRE
MODULE = 0.5 * MILLIMETRE
"""The least width of a module of the code."""
WIDEST_MODULE = 0.8 * MILLIMETRE
SIZES = (9.5, 9.0, 8.5, 8.0, 7.5, 7.0)
SMALLER = (8.0, 7.5, 7.0, 6.5, 6.0, 5.5, 5.0)
"""Points: of a text that fills both sides."""
SPACING = 1.2
NOTE = 6.5  # pt; which part stands on the other side
TICK = 3 * MILLIMETRE
ROW_GAP, ACROSS = 2.5 * MILLIMETRE, 2
_OTHER_SIDE = mark("Other side: {parts}")
_CODE = mark("this text as a code")
Sized = tuple[WrappedLine, float]


def put_cards(book: Book, block: Cards) -> None:
    """As many rows of two cards as a page holds."""
    page = book.style
    side = (page.inner - ACROSS * WIDTH) / (ACROSS + 1)
    book.y += 0.6 * page.leading
    for number in range(0, len(block.cards), ACROSS):
        book.need(2 * PANEL + ROW_GAP)
        for place, card in enumerate(block.cards[number : number + ACROSS]):
            _put_card(book, page.margin + side + place * (WIDTH + side), card)
        book.y += 2 * PANEL + ROW_GAP


def _put_card(book: Book, x: float, card: Card) -> None:
    rows = modules(card.text)
    module, left = _code_place(rows)
    front, back, size = _filled(book, card, left - 2 * PAD)
    _marks(book, x)
    _put(book, x + PAD, book.y + PAD, front)
    parts = [say(_CODE), *dict.fromkeys(line.about for line in back if line.about)]
    note = say(_OTHER_SIDE).format(parts=", ".join([*parts[1:], parts[0]]))
    measure = LineWidths(book.letters, NOTE, WIDTH - 2 * PAD)
    book.add(Label(x + PAD, book.y + PANEL - 0.6 * PAD, measure.one_line(note), NOTE))
    low = book.y + PANEL
    _put(book, x + PAD, low + PAD, _wrapped(book, back, left - 2 * PAD, size))
    inner = QUIET * module
    top = low + (PANEL - (len(rows) + 2 * QUIET) * module) / 2
    book.add(*code_parts(rows, x + left + inner, top + inner, module))


def _code_place(rows: Modules) -> tuple[float, float]:
    """How wide the code's modules are, and where its white begins: at the right end of the panel."""
    count = len(rows) + 2 * QUIET
    module = min(max((PANEL - PAD) / count, MODULE), WIDEST_MODULE)
    return module, WIDTH - count * module - 0.3 * PAD


def _filled(book: Book, card: Card, column: float) -> tuple[list[Sized], list[CardLine], float]:
    """The front's lines, the back's, and the largest size at which both hold them; in points.

    Where the back would be too small for what belongs there, that begins on the front.
    """
    for is_split, size in (*((False, each) for each in SIZES), *((True, each) for each in SMALLER)):
        front, back = _halves(book, card, size, is_split)
        lines = _wrapped(book, back, column, size)
        if sum(each * SPACING for _, each in lines) <= PANEL - 1.4 * PAD:
            break
    return front, back, size


def _halves(book: Book, card: Card, size: float, is_split: bool) -> tuple[list[Sized], list[CardLine]]:
    """What stands on the front, and what on the back: all that doesn't fit, and all after it."""
    room = PANEL - 1.4 * PAD - NOTE * SPACING
    front: list[Sized] = []
    for number, line in enumerate(card.lines):
        lines = _wrapped(book, [line], WIDTH - 2 * PAD, size)
        high = size * line.size * SPACING
        if line.is_back and not is_split:
            return front, list(card.lines[number:])
        if len(lines) * high > room:
            count = int(room // high) if is_split else 0
            rest = line._replace(text=_rest(book.letters.drawable(line.text), lines[:count]))
            return [*front, *lines[:count]], [rest, *card.lines[number + 1 :]]
        front += lines
        room -= len(lines) * high
    return front, []


def _rest(text: str, lines: Sequence[Sized]) -> str:
    """What is left of a drawable text after its first lines, in which spaces at breaks were left out."""
    taken = sum(len(piece.text.replace(" ", "")) for line, _ in lines for piece in line)
    for place, letter in enumerate(text):
        if not taken:
            return text[place:].lstrip()
        taken -= letter != " " and NEW_LINE.match(letter) is None
    return ""


def _wrapped(book: Book, lines: Sequence[CardLine], width: float, size: float) -> list[Sized]:
    found: list[Sized] = []
    for line in lines:
        large = size * line.size
        measure = LineWidths(book.letters, large, width)
        found += [(each, large) for each in measure.lines(words(line.text, bold=line.size > 1))]
    return found


def _put(book: Book, x: float, y: float, lines: Sequence[Sized]) -> None:
    for line, size in lines:
        y += size * SPACING
        start = x
        for piece in line:
            book.add(Label(start, y - 0.2 * size, piece.text, size, bold=piece.bold))
            start += book.letters.width(piece.text, piece.bold, size)


def _marks(book: Book, x: float) -> None:
    """The lines to cut along, and where to fold: broken, and reaching a little beyond the card."""
    top, middle = book.y, book.y + PANEL
    book.add(
        Rectangle(x, top, WIDTH, 2 * PANEL, weight=0.4),
        Straight(x - TICK, middle, x + WIDTH + TICK, middle, weight=0.4, dashed=True),
        Label(x - 1, middle - 2, say(mark("fold")), NOTE, Anchor.END),
    )
