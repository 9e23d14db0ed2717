"""The strip of the day: 24 hours around now, a row each for what is frequent or asked for."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta

from carelog.analysis.drawing import Anchor, Dot, Drawing, Fill, Label, Part, Rectangle, Straight
from carelog.analysis.in_force import Held, Reading
from carelog.analysis.times import clock, short_day
from carelog.domain.due import Due, DueState
from carelog.domain.kind import Draw, Kind
from carelog.domain.moment import HOUR, MINUTE, Home, Instant
from carelog.domain.plan import Span
from carelog.kinds import ALL, named_or_unknown
from carelog.text import mark, say

BACK = 16 * HOUR
AHEAD = 8 * HOUR
"""Together 24 hours: at three at night the evening before is seen, and what the morning asks for."""
MOST_ROWS = 3  # and one for the rest
LABELLED = 3  # hours between two numbers on the axis
REST = mark("The rest")


@dataclass(frozen=True, slots=True)
class StripRow:
    """One row: its name, how its entries are drawn (None: of several kinds), its entries, what it is due."""

    title: str
    draw: Draw | None
    entries: tuple[Held, ...]
    dues: tuple[Due, ...]


@dataclass(frozen=True, slots=True)
class Strip:
    """The day around a moment, ready to be drawn in any width; the same all through a minute."""

    start: Instant
    end: Instant
    now: Instant
    home: Home
    quiet: tuple[tuple[Instant, Instant], ...]
    rows: tuple[StripRow, ...]


@dataclass(frozen=True, slots=True)
class StripMark:
    """Where an entry's mark lies, in the drawing's points, to be pressed."""

    x: float
    y: float
    held: Held


def strip(reading: Reading, dues: Sequence[Due], quiet: Span | None, home: Home, now: Instant) -> Strip:
    """The strip around now; rows are what is counted, then what the plan asks for, the most often first."""
    start, end = (now - BACK) // HOUR * HOUR, (now + AHEAD) // HOUR * HOUR
    within = [held for held in reading.held if start <= held.time <= now and _is_shown(held)]
    ahead = [due for due in dues if start <= due.due_at <= end]
    kinds = _rows(within, dues)
    rows = [_row(kind, within, ahead) for kind in kinds]
    names = {kind.name for kind in kinds}
    rest = tuple(held for held in within if held.entry.kind not in names)
    rows.append(StripRow(say(REST), None, rest, tuple(due for due in ahead if due.kind not in names)))
    nights = tuple(_quiet(quiet, home, start, end))
    return Strip(start, end, now // MINUTE * MINUTE, home, nights, tuple(rows))


def _is_shown(held: Held) -> bool:
    kind = named_or_unknown(held.entry.kind)
    return bool(kind.tiles) and kind.draw is not Draw.SETTING


def _rows(within: Iterable[Held], dues: Iterable[Due]) -> list[Kind]:
    asked = [due.kind for due in dues]
    recorded = [held.entry.kind for held in within]
    counted = [kind for kind in ALL if kind.draw is Draw.COUNT]
    others = [kind for kind in ALL if kind.name in asked and kind not in counted]
    others.sort(key=lambda kind: -recorded.count(kind.name))
    return [*counted, *others][:MOST_ROWS]


def _row(kind: Kind, within: Iterable[Held], ahead: Iterable[Due]) -> StripRow:
    entries = tuple(held for held in within if held.entry.kind == kind.name)
    return StripRow(say(kind.title), kind.draw, entries, tuple(due for due in ahead if due.kind == kind.name))


def _quiet(quiet: Span | None, home: Home, start: Instant, end: Instant) -> Iterable[tuple[Instant, Instant]]:
    if quiet is None:
        return
    day = home.day(start) - timedelta(days=1)
    while home.start_of(day) < end:
        begins = home.at(day, quiet[0])
        ends = home.at(day + timedelta(days=1) if quiet[1] <= quiet[0] else day, quiet[1])
        if begins < end and ends > start:
            yield max(begins, start), min(ends, end)
        day += timedelta(days=1)


def drawn(of: Strip, width: float, size: float) -> tuple[Drawing, list[StripMark]]:
    """The strip in a width, with letters of a size, both in points; and where its marks lie."""
    line, left = size * 1.6, max((len(row.title) for row in of.rows), default=0) * size * 0.56 + size
    right, top = width - size * 1.4, line * 1.2
    height = top + line * len(of.rows) + size * 0.6

    def x(at: Instant) -> float:
        return left + (right - left) * (at - of.start) / (of.end - of.start)

    parts: list[Part] = [
        Rectangle(x(begins), top - 2, x(ends) - x(begins), height - top, Fill.DOTS, 0)
        for begins, ends in of.quiet
    ]
    parts += _axis(of, x(of.start), x(of.end), top, height, size)
    marks: list[StripMark] = []
    for number, row in enumerate(of.rows):
        y = top + line * (number + 0.5)
        parts.append(Label(size * 0.3, y + size * 0.35, row.title, size))
        parts.append(Straight(left, y, right, y, soft=True))
        for held in row.entries:
            parts.append(_shape(row.draw, x(held.time), y, size))
            marks.append(StripMark(x(held.time), y, held))
        parts += [_due_shape(due, x(due.due_at), y, size) for due in row.dues]
    parts.append(Straight(x(of.now), top - line * 0.3, x(of.now), height - 2, 2.0))
    return Drawing(width, height, tuple(parts), words(of)), marks


def _axis(of: Strip, left: float, right: float, top: float, height: float, size: float) -> list[Part]:
    parts: list[Part] = []
    hours = (of.end - of.start) // HOUR
    for number in range(hours + 1):
        at = of.start + number * HOUR
        local = of.home.local(at)
        if local.hour % LABELLED:
            continue
        x = left + (right - left) * number / hours
        text = short_day(local.date()) if local.hour == 0 else f"{local.hour:02d}"
        parts.append(Label(x, size, text, size, Anchor.MIDDLE, bold=local.hour == 0))
        parts.append(Straight(x, top - size * 0.3, x, height - 2, soft=True))
    return parts


def _shape(draw: Draw | None, x: float, y: float, size: float) -> Part:
    """A stroke for what is counted, a disc for a reading, a bar for a doing, a thin stroke for the rest."""
    high = size * 1.1
    if draw is Draw.READINGS:
        return Dot(x, y, size * 0.42, Fill.INK)
    wide = {Draw.COUNT: size * 0.24, None: size * 0.16}.get(draw, size * 0.6)
    return Rectangle(x - wide / 2, y - high / 2, wide, high, Fill.INK, 0)


def _due_shape(due: Due, x: float, y: float, size: float) -> Part:
    """An open square for what is asked for, a filled one for what is late."""
    side = size * 0.9
    fill = Fill.INK if due.state is DueState.LATE else Fill.PAPER
    return Rectangle(x - side / 2, y - side / 2, side, side, fill, 1.6)


def words(of: Strip) -> str:
    """All that the strip shows: each row's times, and when it is due."""
    lines = []
    for row in of.rows:
        times = ", ".join(clock(of.home, held.time) for held in row.entries) or say("not recorded")
        due = ", ".join(clock(of.home, each.due_at) for each in row.dues)
        asked = say("due {times}").format(times=due) if due else ""
        lines.append(f"{row.title}: {times}" + (f"; {asked}" if asked else ""))
    span = say("From {start} to {end}.").format(start=clock(of.home, of.start), end=clock(of.home, of.end))
    return "\n".join((span, *lines))
