"""The picture of what is different: these days in ink against the days before, on one scale a row.

Sizes in points.
"""

from carelog.analysis.compare import Ends, Unlike
from carelog.analysis.drawing import Drawing, Fill, Part, Rectangle, Straight

LEAST = 1.6  # points: what has no length, such as 0, is drawn as long as this


def compared(difference: Unlike, width: float, line: float) -> Drawing:
    """One row, a line high: the days before as a dotted band, these days as a bar of ink across it."""
    parts: list[Part] = [Straight(0, line * 0.95, width, line * 0.95, weight=0.25)]
    if difference.before is not None:
        start, length = _across(difference, difference.before, width)
        parts += [
            Rectangle(start, line * 0.1, length, line * 0.85, Fill.DOTS, weight=0),
            Rectangle(start, line * 0.1, length, line * 0.85, weight=0.5, dashed=True),
        ]
    start, length = _across(difference, difference.here, width)
    parts.append(Rectangle(start, line * 0.35, length, line * 0.35, Fill.INK, weight=0))
    return Drawing(width, line, tuple(parts), difference.words)


def _across(difference: Unlike, ends: Ends, width: float) -> tuple[float, float]:
    low, high = difference.parts(ends)
    length = max((high - low) * width, LEAST)
    return min(low * width, width - length), length
