"""The small pictures of a period, days side by side: counts, strips, readings against a band.

Every picture starts at zero or names its lines; nothing is told by colour. Sizes in points.
"""

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from carelog.analysis.drawing import Anchor, Dot, Drawing, Fill, Label, Part, Rectangle, Straight
from carelog.analysis.room import Patch, Room

RANKS = (Fill.PAPER, Fill.LIGHT, Fill.MIDDLE, Fill.DENSE, Fill.INK)
Height = Callable[[Fraction], float]
UNKNOWN = "–"
MOST_READINGS = 6  # of one day, drawn one by one; more are drawn as their range


@dataclass(frozen=True, slots=True)
class Columns:
    """Days side by side: how many, how wide one is, and the size of the letters."""

    count: int
    width: float
    size: float = 8.0

    @property
    def whole(self) -> float:
        """The width of all."""
        return self.count * self.width

    @property
    def line(self) -> float:
        """The height of a line of words."""
        return 1.2 * self.size

    @property
    def mark(self) -> float:
        """Half the size of a reading's ring."""
        return 0.25 * self.size


@dataclass(frozen=True, slots=True)
class ReadingPoint:
    """One reading: its day, the part of it gone by, its value in the band's unit, as typed, how it lies."""

    day: int
    part: float
    value: Fraction
    words: str
    is_outside: bool


def counts(
    columns: Columns,
    values: Sequence[int | None],
    usual: tuple[int, int] | None,
    partial: Collection[int] = (),
    *,
    is_hatched: bool = False,
) -> Drawing:
    """Bars from zero, one a day, in ink where outside the range of the days before; None: a day not known.

    Of days that are written down in `partial` fewer is not outside: the rest isn't known. `is_hatched`: those
    of them that aren't outside are hatched.
    """
    room, top = 2.4 * columns.line, 1.1 * columns.line
    most = max([value for value in values if value is not None] + [usual[1] if usual else 0, 1])
    base = top + room

    def height(value: float) -> float:
        return base - room * value / most

    parts: list[Part] = []
    if usual:
        low, high = height(usual[0]), height(usual[1])
        parts.append(Rectangle(0, high, columns.whole, max(low - high, 1.2), Fill.DOTS, weight=0))
        parts += [Straight(0, y, columns.whole, y, weight=0.4, dashed=True) for y in {low, high}]
    for day, value in enumerate(values):
        middle = (day + 0.5) * columns.width
        if value is None:
            parts.append(Label(middle, base - 2, UNKNOWN, columns.size, Anchor.MIDDLE))
            continue
        is_few = usual is not None and value < usual[0] and day not in partial
        is_out = is_few or (usual is not None and value > usual[1])
        fill = Fill.INK if is_out else Fill.LIGHT if is_hatched and day in partial else Fill.NONE
        parts += _bar(columns, middle, min(height(value), base - 1.0), base, value, fill)
    parts.append(Straight(0, base, columns.whole, base, weight=0.6))
    shown = "; ".join(UNKNOWN if value is None else str(value) for value in values)
    return Drawing(columns.whole, base, tuple(parts), shown)


def _bar(columns: Columns, middle: float, y: float, base: float, value: int, fill: Fill) -> Iterator[Part]:
    """One bar with its number above it, over whatever lies behind."""
    width = columns.width * 0.36
    if value:
        yield Rectangle(middle - width / 2, y, width, base - y, Fill.PAPER, weight=0)
    yield Rectangle(middle - width / 2, y, width, base - y, fill, weight=0.6)
    wide = 0.62 * columns.size * len(str(value))
    yield Rectangle(middle - wide / 2 - 1, y - columns.size, wide + 2, columns.size, Fill.PAPER, weight=0)
    yield Label(middle, y - 1.5, str(value), columns.size, Anchor.MIDDLE, bold=True)


def strip(columns: Columns, values: Sequence[int | None], most: int, rank: int) -> Drawing:
    """One line of a strip: a hatched length for each day, from zero, denser by rank, and its number."""
    parts: list[Part] = []
    side = 0.62 * columns.line
    top = (columns.line - side) / 2
    room = columns.width - 2.2 * columns.size
    for day, value in enumerate(values):
        x, base = day * columns.width + 2, top + side - 0.1 * columns.size
        if value is None:
            parts.append(Label(x, base, UNKNOWN, columns.size))
            continue
        length = room * value / max(most, 1)
        if value:
            fill = RANKS[min(rank, len(RANKS) - 1)]
            parts.append(Rectangle(x, top, max(length, 1.5), side, fill, weight=0.5))
            parts.append(Label(x + max(length, 1.5) + 2, base, str(value), columns.size))
    shown = "; ".join(UNKNOWN if value is None else str(value) for value in values)
    return Drawing(columns.whole, columns.line, tuple(parts), shown)


@dataclass(frozen=True, slots=True)
class LimitBand:
    """A plan's limits of a reading, in one unit; either may be missing.

    `start` and `end` are the part of the picture in which it was in force, in days; None: to the last.
    """

    low: Fraction | None
    high: Fraction | None
    start: float = 0
    end: float | None = None

    @property
    def edges(self) -> list[Fraction]:
        """The limits that there are."""
        return [edge for edge in (self.low, self.high) if edge is not None]


def readings(columns: Columns, found: Sequence[ReadingPoint], *bands: LimitBand) -> Drawing:
    """Readings against each plan's band over its own time; rings inside it, filled discs outside."""
    numbers = [each.value for each in found] + [edge for band in bands for edge in band.edges]
    low, high = (min(numbers), max(numbers)) if numbers else (Fraction(0), Fraction(1))
    spread = (high - low) or Fraction(1)
    top, room = 1.4 * columns.line, 2.7 * columns.line

    def height(value: Fraction) -> float:
        return float(top + room * float((high - value) / spread))

    parts: list[Part] = []
    for band in bands:
        left, right = band.start * columns.width, columns.whole
        right = right if band.end is None else band.end * columns.width
        if band.low is not None and band.high is not None:
            upper = height(band.high)
            parts.append(Rectangle(left, upper, right - left, height(band.low) - upper, Fill.DOTS, weight=0))
        parts += [
            Straight(left, height(each), right, height(each), weight=0.5, dashed=True) for each in band.edges
        ]
    bottom = top + room + 0.5 * columns.line
    space, few = Room(columns.whole, bottom), list[ReadingPoint]()
    for day in range(columns.count):
        ofday = [each for each in found if each.day == day]
        if len(ofday) <= MOST_READINGS:
            few += ofday
        else:
            parts += _range(columns, ofday, height)
            space.take(Patch((day + 0.25) * columns.width, 0, columns.width / 2, bottom))
    parts += _one_by_one(columns, few, height, space)
    return Drawing(columns.whole, bottom, tuple(parts), "; ".join(each.words for each in found))


def _one_by_one(columns: Columns, found: Sequence[ReadingPoint], height: Height, space: Room) -> list[Part]:
    """Each reading at its time with its words where they are free; of one inside they may be left out."""
    shapes: list[Part] = []
    spots = [(each, _across(columns, each), height(each.value)) for each in found]
    for each, x, y in spots:
        half = (1.3 if each.is_outside else 1.0) * columns.mark
        space.take(Patch(x - half, y - half, 2 * half, 2 * half))
        shapes.append(Dot(x, y, half, Fill.INK if each.is_outside else Fill.PAPER))
    labels: list[Part] = []
    for each, x, y in sorted(spots, key=lambda spot: not spot[0].is_outside):
        box = space.place(_places(columns, each, x, y), must=each.is_outside)
        labels += _label(columns, box, each) if box is not None else []
    return [*labels, *shapes]


def _across(columns: Columns, reading: ReadingPoint) -> float:
    return reading.day * columns.width + 5 + reading.part * (columns.width - 10)


def _places(columns: Columns, reading: ReadingPoint, x: float, y: float) -> Iterator[Patch]:
    """Where its words may stand: of one outside beside it first, of one inside above it first."""
    a_letter = (0.64 if reading.is_outside else 0.58) * columns.size  # bold ones are wider
    wide, high = a_letter * len(reading.words) + 1, 0.9 * columns.size
    middle = min(max(x - wide / 2, 0), columns.whole - wide)
    gap = 1.4 * columns.mark + 1
    sides = [Patch(x + gap, y - high / 2, wide, high), Patch(x - gap - wide, y - high / 2, wide, high)]
    above = [Patch(middle, y - gap - high, wide, high), Patch(middle, y + gap, wide, high)]
    yield from (*sides, *above) if reading.is_outside else (*above, *sides)
    for shift in (-0.6, 0.6):  # a little up or down beside it, where something else is at its height
        yield from (Patch(each.x, each.y + shift * high, wide, high) for each in sides)
    if reading.is_outside:  # its words stand even where they are farther from it
        for shift in (-2.2, 2.2):
            yield Patch(middle, y - high / 2 + shift * high, wide, high)


def _label(columns: Columns, box: Patch, reading: ReadingPoint) -> list[Part]:
    ground = Rectangle(box.x, box.y, box.width, box.height, Fill.PAPER, weight=0)
    base = box.y + 0.78 * columns.size
    return [ground, Label(box.x + 0.5, base, reading.words, columns.size, bold=reading.is_outside)]


def _range(columns: Columns, found: Sequence[ReadingPoint], height: Height) -> list[Part]:
    values = [each.value for each in found]
    middle = (found[0].day + 0.5) * columns.width
    upper, lower = height(max(values)), height(min(values))
    outside = sum(each.is_outside for each in found)
    return [
        Rectangle(middle - 4, upper, 8, max(lower - upper, 1.5), Fill.MIDDLE),
        Label(
            middle, upper - 3, f"{len(found)}, {outside} out", columns.size, Anchor.MIDDLE, bold=bool(outside)
        ),
    ]
