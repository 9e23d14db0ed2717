"""How each sort of row is drawn: bars, stacked shares, runs of words, readings in a band, signs, doings.

What is usual or within a limit is a band and soft; what lies outside it is filled ink with its number.
Nothing is told by colour; what nobody recorded is left empty.
"""

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from carelog.analysis.between import between
from carelog.analysis.course.frame import Frame, Lane
from carelog.analysis.course.rows import (
    AskedCount,
    Counts,
    Doings,
    Finding,
    PlanBand,
    Readings,
    ReadPoint,
    Row,
    Runs,
    Shares,
    Signs,
)
from carelog.analysis.drawing import Anchor, Dot, Fill, Label, Part, Rectangle, Straight
from carelog.domain.flag import Level
from carelog.domain.units import plain
from carelog.text import mark, say

RANKS = (Fill.PAPER, Fill.DOTS, Fill.LIGHT, Fill.MIDDLE, Fill.DENSE, Fill.INK)
Height = Callable[[Fraction], float]
MOST_POINTS = 6
"""Of one column, drawn one by one; more are drawn as their range, those outside one by one all the same."""
_USUAL = mark("usually {range}")
_NO_USUAL = mark("what is usual isn't known yet")
_STACKED = mark("{first} on top, {last} below")
_MOST_SEEN = mark("seen most often")
_LOOKED = mark("a line: looked")
_GAPS = mark("empty: not recorded")


def strip(row: Row, frame: Frame) -> Lane:
    """The row as it is drawn."""
    if isinstance(row, Signs) and not row.is_read:
        return Lane((), frame.line, say(mark("not read yet")))
    match row:
        case Counts():
            return _counts(row, frame)
        case Shares():
            return _shares(row, frame)
        case Runs():
            return _runs(row, frame)
        case Readings():
            return _readings(row, frame)
        case Signs():
            return _flags(row, frame) if _has_levels(row) else _signs(row, frame)
        case Doings():
            return _doings(row, frame)


def _has_levels(row: Signs) -> bool:
    return any(cell is not None and cell.level is not None for cell in row.cells)


# Counts -----------------------------------------------------------------------------------------------------


def _counts(row: Counts, frame: Frame) -> Lane:
    numbers = [cell.high for cell in row.cells if cell] + [usual[1] for usual in row.usual if usual]
    most, room, top = max([*numbers, 1]), 3.2 * frame.line, 0.95 * frame.line
    base = top + room

    def height(value: float | Fraction) -> float:
        return base - room * float(value) / most

    parts: list[Part] = []
    for usual, group in groupby(enumerate(row.usual), key=lambda each: each[1]):
        if usual is not None:
            numbers_of = [number for number, _ in group]
            left, wide = frame.x(numbers_of[0]), len(numbers_of) * frame.column
            upper, lower = height(usual[1]), height(usual[0])
            parts.append(Rectangle(left, upper, wide, max(lower - upper, 1.2), Fill.DOTS, weight=0))
            parts += [Straight(left, y, left + wide, y, weight=0.4, soft=True) for y in {upper, lower}]
    told = set(_told(row, frame))
    for number, cell in enumerate(row.cells):
        if cell is None:
            continue
        is_outside, y = row.is_outside(number), min(height(cell.middle), base - 1.0)
        wide = min(0.58 * frame.column, 3.2 * frame.size)
        left = frame.middle(number) - wide / 2
        fill = Fill.INK if is_outside or not cell.high else Fill.MIDDLE
        parts.append(Rectangle(left, y, wide, base - y, Fill.PAPER, weight=0))
        parts.append(Rectangle(left, y, wide, base - y, fill, weight=0.5, dashed=not cell.is_over))
        if cell.high != cell.low:
            x = frame.middle(number)
            parts.append(Straight(x, height(cell.high), x, height(cell.low), weight=0.9))
        if number in told:
            base_of = min(y, height(cell.high)) - 0.2 * frame.size
            words = plain(cell.middle)
            parts += _on_paper(frame, frame.label(frame.middle(number), base_of, words, bold=is_outside))
    parts.append(Straight(frame.left, base, frame.right, base, weight=0.6))
    newest = next((usual for usual in reversed(row.usual) if usual), None)
    beside = say(_USUAL).format(range=between(*newest)) if newest else say(_NO_USUAL)
    return Lane(tuple(parts), base + 2, beside)


def _told(row: Counts, frame: Frame) -> Iterator[int]:
    """The columns whose number is written: all where there is room, else the highest of what lies outside."""
    outside = [number for number in range(len(row.cells)) if row.is_outside(number)]
    if frame.column >= 2.2 * frame.size:
        yield from (number for number, cell in enumerate(row.cells) if cell is not None)
        return
    told: list[int] = []
    for number in sorted(outside, key=lambda each: (-_middle(row, each), each)):
        if all(abs(number - other) * frame.column >= 1.6 * frame.size for other in told):
            told.append(number)
            yield number


def _middle(row: Counts, number: int) -> Fraction:
    cell = row.cells[number]
    return cell.middle if cell else Fraction(0)


def _on_paper(frame: Frame, label: Label) -> list[Part]:
    """Words with paper behind them, so that a band or a line doesn't cross them."""
    wide = frame.wide(label.text, bold=label.bold)
    left = label.x - {Anchor.START: 0.0, Anchor.MIDDLE: wide / 2, Anchor.END: wide}[label.anchor]
    return [
        Rectangle(left, label.y - 0.8 * frame.size, wide, 0.95 * frame.size, Fill.PAPER, weight=0),
        label,
    ]


# Shares and runs --------------------------------------------------------------------------------------------


def _shares(row: Shares, frame: Frame) -> Lane:
    top, room = 0.25 * frame.line, 2.0 * frame.line
    fills = [
        RANKS[round(place * (len(RANKS) - 1) / (len(row.options) - 1))] for place in range(len(row.options))
    ]
    wide, parts = min(0.8 * frame.column, 4.0 * frame.size), list[Part]()
    for number, cell in enumerate(row.cells):
        left, y = frame.middle(number) - wide / 2, top
        whole = sum(cell) if cell else 0
        for count, fill in zip(cell or (), fills, strict=False):
            if count:
                height = room * count / whole
                parts.append(Rectangle(left, y, wide, height, fill, weight=0.4))
                y += height
        if row.beside and row.beside[number]:
            parts.append(_square(frame.middle(number), top + room + 0.5 * frame.line, 0.28 * frame.line))
    has_beside = any(row.beside)
    worst = max((n for cell in row.cells if cell for n, count in enumerate(cell) if count), default=0)
    beside = say(_STACKED).format(first=row.options[0], last=row.options[max(worst, 1)])
    if has_beside:
        beside = f"{beside}; {say(mark('square: stuck'))}"
    return Lane(tuple(parts), top + room + (frame.line if has_beside else 0.2 * frame.line), beside)


def _square(x: float, y: float, half: float) -> Rectangle:
    return Rectangle(x - half, y - half, 2 * half, 2 * half, Fill.INK, weight=0.5)


def _runs(row: Runs, frame: Frame) -> Lane:
    top, height = 0.2 * frame.line, 1.25 * frame.line
    parts: list[Part] = []
    for run in row.runs:
        left, right = frame.x(run.first), frame.x(run.last + 1)
        fill = Fill.INK if run.is_marked else Fill.PAPER
        parts.append(Rectangle(left, top, right - left, height, fill, weight=0.6))
        words = _fitting(frame, run.words, right - left)
        if words:
            base = top + 0.5 * height + 0.35 * frame.size
            parts.append(
                Label(
                    (left + right) / 2,
                    base,
                    words,
                    frame.size,
                    Anchor.MIDDLE,
                    reversed=run.is_marked,
                )
            )
    return Lane(tuple(parts), top + height + 0.2 * frame.line, say(_MOST_SEEN))


def _fitting(frame: Frame, words: str, room: float) -> str:
    """As many of some words as fit; empty: not even the first."""
    parts = words.split(", ")
    while parts and frame.wide(", ".join(parts)) > room - 2:
        parts.pop()
    return ", ".join(parts)


# Readings ---------------------------------------------------------------------------------------------------


def _readings(row: Readings, frame: Frame) -> Lane:
    values = [point.value for cell in row.cells for point in cell or ()]
    edges = [edge for band in row.bands for edge in (band.low, band.high) if edge is not None]
    low, high = min([*values, *edges]), max([*values, *edges])
    spread = (high - low) or Fraction(1)
    top, room = 1.1 * frame.line, 2.2 * frame.line

    def height(value: Fraction) -> float:
        return top + room * float((high - value) / spread)

    parts = [part for band in row.bands for part in _band(frame, band, height(low), height(high), height)]
    for number, cell in enumerate(row.cells):
        inside = [point for point in cell or () if not point.is_outside]
        is_many = len(cell or ()) > MOST_POINTS or frame.column < 0.6 * frame.size * len(cell or ())
        if is_many and len(inside) > 1:
            upper = height(max(point.value for point in inside))
            lower = height(min(point.value for point in inside))
            wide = 0.4 * frame.column
            left = frame.middle(number) - wide / 2
            parts.append(Rectangle(left, upper, wide, max(lower - upper, 1.5), Fill.MIDDLE, weight=0.5))
        else:
            for point in inside:
                parts.append(Dot(frame.x(point.place), height(point.value), 0.24 * frame.size, Fill.PAPER))
    parts += _outside(row, frame, height)
    beside = f"{row.limits}" if row.bands else f"{row.unit}; {row.limits}"
    return Lane(tuple(parts), top + room + 0.5 * frame.line, beside)


def _band(frame: Frame, band: PlanBand, bottom: float, top: float, height: Height) -> Iterator[Part]:
    left, right = frame.x(band.start), frame.x(band.end)
    upper = height(band.high) if band.high is not None else top
    lower = height(band.low) if band.low is not None else bottom
    yield Rectangle(left, upper, right - left, max(lower - upper, 1.2), Fill.DOTS, weight=0)
    for edge in (band.low, band.high):
        if edge is not None:
            yield Straight(left, height(edge), right, height(edge), weight=0.5, dashed=True)


def _outside(row: Readings, frame: Frame, height: Height) -> Iterator[Part]:
    """What lies outside: a filled square each, and its number where that has room."""
    found: list[ReadPoint] = [point for cell in row.cells for point in cell or () if point.is_outside]
    taken: list[tuple[float, float]] = []
    for point in found:
        x, y = frame.x(point.place), height(point.value)
        yield _square(x, y, 0.3 * frame.size)
        wide = frame.wide(point.words, bold=True)
        is_free = all(abs(x - other) > 0.5 * (wide + length) + 2 for other, length in taken)
        if is_free:
            taken.append((x, wide))
            yield from _on_paper(frame, frame.label(x, y - 0.5 * frame.size, point.words, bold=True))


# Signs and doings -------------------------------------------------------------------------------------------


def _signs(row: Signs, frame: Frame) -> Lane:
    top, side = 0.25 * frame.line, 0.9 * frame.line
    middle, wide = top + side / 2, min(0.8 * frame.column, 1.6 * frame.line)
    parts: list[Part] = []
    for number, cell in enumerate(row.cells):
        x = frame.middle(number)
        if cell is None:
            continue
        if not cell.words:
            parts.append(Straight(x - 0.2 * wide, middle, x + 0.2 * wide, middle, weight=0.9, soft=True))
            continue
        parts.append(Rectangle(x - wide / 2, top, wide, side, Fill.PAPER, weight=0.9))
        parts.append(Straight(x - wide / 4, top + 0.8 * side, x + wide / 4, top + 0.2 * side, weight=1.2))
    named = list(_named(row.cells, frame, top + side + frame.size))
    height = top + side + (1.1 * frame.line if named else 0.2 * frame.line)
    return Lane((*parts, *named), height, say(_LOOKED))


def _named(cells: Sequence[Finding | None], frame: Frame, base: float) -> Iterator[Part]:
    """The words of what was found, once for columns in a row of which the same is told, where they fit."""
    end = -1e9
    for words, group in groupby(enumerate(cells), key=lambda each: each[1].words if each[1] else ""):
        numbers = [number for number, _ in group]
        if not words:
            continue
        label = frame.label(frame.x((numbers[0] + numbers[-1] + 1) / 2), base, words)
        half = frame.wide(words) / 2
        if label.x - half > end:
            yield label
            end = label.x + half + frame.size


def _flags(row: Signs, frame: Frame) -> Lane:
    top, side = 0.25 * frame.line, 0.8 * frame.line
    parts: list[Part] = []
    for number, cell in enumerate(row.cells):
        if cell is None:
            continue
        x, half = frame.middle(number), min(side / 2, max(0.45 * frame.column, 2.5))
        if cell.level is Level.URGENT:
            parts.append(Rectangle(x - half, top, 2 * half, side, Fill.INK, weight=0.8))
        elif cell.level is Level.CALL:
            parts.append(Rectangle(x - half, top, 2 * half, side, Fill.PAPER, weight=0.8))
            parts.append(Rectangle(x - half, top, 0.7 * half, side, Fill.INK, weight=0))
        else:
            parts.append(Dot(x, top + side / 2, min(0.3 * side, half), Fill.PAPER, weight=0.8))
    return Lane(tuple(parts), top + side + 0.25 * frame.line, say(mark("when it was flagged first")))


def _doings(row: Doings, frame: Frame) -> Lane:
    top, side, wide = 0.25 * frame.line, 1.1 * frame.line, min(0.8 * frame.column, 4.0 * frame.size)
    parts: list[Part] = []
    taken = -1e9
    for number, cell in enumerate(row.cells):
        if cell is None or not cell.whole:
            continue
        left = frame.middle(number) - wide / 2
        parts += _filled(cell, left, top, wide, side)
        missed, x = str(len(cell.missed)), frame.middle(number)
        if cell.missed and x - frame.wide(missed, bold=True) / 2 > taken:
            parts.append(frame.label(x, top + side + frame.size, missed, bold=True))
            taken = x + frame.wide(missed, bold=True) / 2
    has_missed = any(cell is not None and cell.missed for cell in row.cells)
    height = top + side + (1.1 * frame.line if has_missed else 0.2 * frame.line)
    return Lane(tuple(parts), height, say(_GAPS))


def _filled(cell: AskedCount, left: float, top: float, wide: float, side: float) -> list[Part]:
    done = side * cell.recorded / cell.whole
    parts: list[Part] = [Rectangle(left, top, wide, side, Fill.PAPER, weight=0.6)]
    if done:
        parts.append(Rectangle(left, top + side - done, wide, done, Fill.MIDDLE, weight=0.6))
    return parts
