"""The whole course as one drawing: dates and marks above, rows beneath each other, one axis for all."""

from collections.abc import Iterator
from dataclasses import dataclass

from carelog.analysis.course.course import WholeCourse
from carelog.analysis.course.frame import Frame
from carelog.analysis.course.rows import Happening
from carelog.analysis.course.strips import strip
from carelog.analysis.drawing import Anchor, Drawing, Fill, Label, Part, Rectangle, Straight
from carelog.analysis.times import SHORT_MONTHS, month_day, short_day
from carelog.text import mark, say

LANES = 3
"""So many marks stand above each other with their words; of more only their lines are drawn."""
MOST_LINES = 16
"""Of more marks than these the lines don't go through the rows."""
_WORDS = mark("The course from {first} to {last}: {rows}.")


@dataclass(frozen=True, slots=True)
class DrawnCourse:
    """The drawing, and where its columns lie: what a cursor needs. All in the drawing's own measure."""

    drawing: Drawing
    left: float
    column: float
    top: float

    def number(self, x: float, count: int) -> int:
        """The column under a point, the nearest one outside them."""
        return min(max(int((x - self.left) // self.column), 0), count - 1)


def picture(course: WholeCourse, width: float, size: float) -> DrawnCourse:
    """The course in a width, with letters of a size."""
    frame = Frame(width, size, course.axis.count)
    head = list(_dates(course, frame))
    marked, y = _marks(course, frame, 1.5 * frame.line)
    top = y
    parts: list[Part] = []
    for row in course.rows:
        one = strip(row, frame)
        titles = _title(frame, row.title, one.beside, y)
        parts += titles
        parts += [_moved(part, y) for part in one.parts]
        y += max(one.height, len(titles) * frame.line) + 0.6 * frame.line
    lines = list(_lines(course, frame, top, y))
    axis = course.axis
    words = say(_WORDS).format(
        first=axis.name(0), last=axis.name(axis.count - 1), rows=", ".join(row.title for row in course.rows)
    )
    drawing = Drawing(width, y, (*lines, *head, *marked, *parts), words)
    return DrawnCourse(drawing, frame.left, frame.column, 1.5 * frame.line)


def _title(frame: Frame, title: str, beside: str, top: float) -> list[Label]:
    """A row's title in half-bold, and softer what its shapes mean."""
    bold = frame.wrapped(title, bold=True)
    soft = frame.wrapped(beside)
    return [
        Label(
            0,
            top + (number + 0.95) * frame.line,
            text,
            frame.size,
            bold=number < len(bold),
            soft=number >= len(bold),
        )
        for number, text in enumerate([*bold, *soft])
    ]


def _moved(part: Part, down: float) -> Part:
    if isinstance(part, Straight):
        return part._replace(y1=part.y1 + down, y2=part.y2 + down)
    return part._replace(y=part.y + down)


def _dates(course: WholeCourse, frame: Frame) -> Iterator[Label]:
    end = -1e9
    for number, text in _named(course, frame):
        x = frame.x(number) + 2
        if x > end and x + frame.wide(text) <= frame.right + 2:
            yield Label(x, frame.line, text, frame.size, Anchor.START, soft=True)
            end = x + frame.wide(text) + 0.6 * frame.size


def _named(course: WholeCourse, frame: Frame) -> Iterator[tuple[int, str]]:
    """The columns whose date is written: every day, every Monday, or the first week of a month."""
    axis = course.axis
    for number in range(axis.count):
        day = axis.first_day(number)
        if not axis.is_by_day:
            if axis.last_day(number).day <= 7:
                last = axis.last_day(number)
                year = f" {last.year}" if last.month == 1 else ""
                yield number, f"{say(SHORT_MONTHS[last.month - 1])}{year}"
        elif frame.column > 4.2 * frame.size:
            yield number, month_day(day) if number == 0 or day.day == 1 else short_day(day)
        elif day.weekday() == 0:
            yield number, month_day(day)


def _lines(course: WholeCourse, frame: Frame, top: float, bottom: float) -> Iterator[Part]:
    """A line where a week begins, or a month of weeks; dashed ones at what happened."""
    for number, _ in _named(course, frame):
        x = frame.x(number)
        yield Straight(x, 0.2 * frame.line, x, bottom, weight=0.4, soft=True)
    single = [each for each in course.marks if each.end is None]
    if len(single) <= MOST_LINES:
        for each in single:
            x = frame.x(each.place)
            yield Straight(x, top - 0.2 * frame.line, x, bottom, weight=0.6, dashed=True)


def _marks(course: WholeCourse, frame: Frame, top: float) -> tuple[list[Part], float]:
    """What happened, in lanes above the rows; where the rows begin."""
    ends: list[float] = []
    parts: list[Part] = []
    seen: set[tuple[int, str]] = set()
    for each in course.marks:
        if (each.column, each.short) in seen:
            continue
        seen.add((each.column, each.short))
        x, wide = frame.x(each.place), frame.wide(each.short) + 3
        if x + wide > frame.right:
            x = max(frame.right - wide, frame.left)
        lane = next((number for number, end in enumerate(ends) if end < x), len(ends))
        if lane == LANES:
            continue
        y = top + (lane + 0.8) * frame.line
        reach = frame.x(each.end) if each.end is not None else 0.0
        ends[lane : lane + 1] = [max(x + wide, reach) + 0.4 * frame.size]
        parts += _mark(each, frame, x, y)
    return parts, top + (len(ends) + 0.4) * frame.line


def _mark(each: Happening, frame: Frame, x: float, base: float) -> Iterator[Part]:
    """The words of one; of one that lasted a hatched line beneath them for as long."""
    place = frame.x(each.place)
    if each.end is not None:
        wide = max(frame.x(each.end) - place, 1.5)
        yield Rectangle(place, base + 0.18 * frame.size, wide, 0.22 * frame.size, Fill.DENSE, weight=0.4)
    else:
        yield Straight(place, base - 0.7 * frame.size, place, base + 0.25 * frame.size, weight=0.9)
    yield Label(x + 3, base, each.short, frame.size)
