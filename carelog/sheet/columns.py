"""Columns like a newspaper's, filled one after the other, over as many pages as they need."""

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from carelog.sheet.page import Book
from carelog.sheet.wrap import Line as WrappedLine

GUTTER = 9.0
NARROW = 7.0  # between more than two columns: “07:37 Mouth care MQ” fits on one line of A4


class Chunk(NamedTuple):
    """Something that stays together: its height, and how it is put at an x with its top at the book's y.

    `leads` keeps it with what follows; `again` is what is repeated above it at the top of a column.
    """

    height: float
    put: Callable[[Book, float], None]
    leads: bool = False
    again: "Chunk | None" = None


def parts(lines: Sequence[WrappedLine], whole: int) -> Iterator[tuple[int, Sequence[WrappedLine]]]:
    """Lines as parts that stay together, each with its first line's number.

    Up to `whole` lines are one part; of more, two at either end stay together and the others are free.
    """
    if len(lines) <= max(whole, 3):
        yield 0, lines
        return
    yield 0, lines[:2]
    yield from ((number, lines[number : number + 1]) for number in range(2, len(lines) - 2))
    yield len(lines) - 2, lines[-2:]


def column_width(book: Book, count: int) -> float:
    """How wide each of so many columns is."""
    return (book.style.inner - (count - 1) * gutter(count)) / count


def gutter(count: int) -> float:
    """The white between so many columns, in points."""
    return NARROW if count > 2 else GUTTER


def fill(book: Book, chunks: Sequence[Chunk], count: int, least: float, shortest: float = 0.0) -> None:
    """Fill columns page after page; those of the last page are equally long, but not less than `shortest`.

    A page with less room than `least` is left for the next one. All in points.
    """
    rest = list(chunks)
    while rest:
        led = min(_together(rest), book.whole / 2)
        if book.room < max(led, min(least, sum(chunk.height for chunk in rest) / count)):
            book.turn()
        placed = _placed(rest, count, max(_depth(rest, count, book.room), min(shortest, book.room)))
        top, lowest = book.y, book.y
        for number, column in enumerate(placed):
            book.y = top
            x = book.style.margin + number * (column_width(book, count) + gutter(count))
            for chunk in column:
                chunk.put(book, x)
                book.y += chunk.height
            lowest = max(lowest, book.y)
        book.y = lowest
        done = sum(len(column) for column in placed) - sum(_repeats(column) for column in placed)
        rest = rest[done:]
        if rest:
            book.turn()


def put_column(book: Book, rest: list[Chunk], x: float) -> None:
    """Put as much as the page has room for at an x, and take it from the rest."""
    is_first = True
    while rest:
        chunk = rest[0]
        need = _together(rest)
        if is_first and chunk.again is not None:
            chunk.again.put(book, x)
            book.y += chunk.again.height
        elif not is_first and book.room < need:
            return
        chunk.put(book, x)
        book.y += chunk.height
        is_first = False
        del rest[0]


def _together(chunks: Sequence[Chunk], start: int = 0) -> float:
    """The height of a chunk with all that it leads to: a heading, the bar under it and their first point."""
    height = 0.0
    for chunk in chunks[start:]:
        height += chunk.height
        if not chunk.leads:
            break
    return height


def _repeats(column: Sequence[Chunk]) -> int:
    return int(len(column) > 1 and column[1].again is column[0])


def _placed(rest: Sequence[Chunk], count: int, depth: float) -> list[list[Chunk]]:
    """As much as fits into so many columns of a depth; a column takes one chunk even if it is too long."""
    columns: list[list[Chunk]] = [[]]
    used = 0.0
    for number, chunk in enumerate(rest):
        need = _together(rest, number)
        if used + need > depth + 0.01 and columns[-1]:
            if len(columns) == count:
                return columns
            columns.append([])
            used = 0.0
        if not columns[-1] and chunk.again is not None:
            columns[-1].append(chunk.again)
            used += chunk.again.height
        columns[-1].append(chunk)
        used += chunk.height
    return columns


def _fits(rest: Sequence[Chunk], count: int, depth: float) -> bool:
    placed = _placed(rest, count, depth)
    taken = sum(len(column) - _repeats(column) for column in placed)
    if any(column and column[-1].leads for column in placed):
        return False  # a heading alone at a foot
    return taken == len(rest) and all(
        sum(chunk.height for chunk in column) <= depth + 0.01 or len(column) == 1 for column in placed
    )


def _depth(rest: Sequence[Chunk], count: int, most: float) -> float:
    """The least depth that holds all of it, to the point; or the whole page's."""
    if sum(chunk.height for chunk in rest) > count * most or not _fits(rest, count, most):
        return most
    low, high = int(sum(chunk.height for chunk in rest) / count), int(most) + 1
    while low < high:
        middle = (low + high) // 2
        if _fits(rest, count, middle):
            high = middle
        else:
            low = middle + 1
    return min(float(low), most)
