"""What a blank day's sheet asks for, from the person's own plan: the same rows on paper and on screen."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil

from carelog.analysis.in_force import Held
from carelog.analysis.limits import READ
from carelog.analysis.tube import has_air_cuff
from carelog.domain.entry import Details
from carelog.domain.field import Choice, Number
from carelog.domain.kind import Draw, Kind
from carelog.domain.moment import HOUR
from carelog.domain.plan import Plan, Task
from carelog.kinds import ALL, named_or_unknown, task_title
from carelog.kinds.cuff_pressure import CUFF_PRESSURE
from carelog.kinds.incident import INCIDENT
from carelog.kinds.note import NOTE
from carelog.text import mark, say

COUNTED_ROWS = 9  # on the first side, with all else
SPARE_ROWS = 3  # more than the most of a day lately
NOTE_ROWS = 3
DAY_H = 24
_MORE = mark("{title}, more")
_LIMITS = mark("the plan: {low} to {high} {unit}")


@dataclass(frozen=True, slots=True)
class BlankRow:
    """One line: what is recorded of which kind when it is filled in, and which fields stand open.

    `clock` is the time that the plan asks for, empty where it names none.
    """

    kind: str
    title: str
    details: Details
    clock: str = ""
    fields: tuple[str, ...] = ()
    needs_form: bool = False
    """Whether a tick says too little, such as for the spare-tube box: the form asks for what was there."""


@dataclass(frozen=True, slots=True)
class BlankPart:
    """Rows under one heading; with `fields` every row has the same ones, each in its column."""

    title: str
    rows: tuple[BlankRow, ...]
    beside: str = ""
    has_note: bool = False

    @property
    def kind(self) -> Kind:
        """The kind of the rows, where all are of one."""
        return named_or_unknown(self.rows[0].kind)

    @property
    def fields(self) -> tuple[str, ...]:
        """The fields of each row."""
        return self.rows[0].fields


def blank_day(plan: Plan | None, most: int = 0, tube: Held | None = None) -> list[BlankPart]:
    """The parts of a day's sheet, in the order in which they stand; no pressure of a cuff that has no air.

    `most`: how many of what is counted there were on a day lately; those beyond the first rows stand last.
    """
    tasks = plan.tasks if plan is not None else ()
    plain = [row for task in tasks if not fields_of(named_or_unknown(task.kind)) for row in _rows(task)]
    parts = [BlankPart(say(mark("What the plan asks for")), tuple(plain))] if plain else []
    asked = [kind for kind in ALL if kind is not CUFF_PRESSURE or has_air_cuff(tube)]
    parts += [part for kind in asked if fields_of(kind) for part in _part(kind, plan)]
    incident = BlankRow(INCIDENT.name, say(INCIDENT.title), {}, fields=("what",))
    parts.append(BlankPart(say(INCIDENT.title), (incident,), has_note=True))
    note = BlankRow(NOTE.name, say(NOTE.title), {})
    parts.append(BlankPart(say(NOTE.title), (note,) * NOTE_ROWS, has_note=True))
    more = most + SPARE_ROWS - COUNTED_ROWS if most > COUNTED_ROWS else 0
    counted = [part for part in parts if part.kind.draw is Draw.COUNT] if more else []
    return [*parts, *(_continued(part, more) for part in counted)]


def _continued(part: BlankPart, count: int) -> BlankPart:
    return replace(part, title=say(_MORE).format(title=part.title), rows=part.rows[:1] * count)


def fields_of(kind: Kind) -> tuple[str, ...]:
    """The fields that stand open on a blank sheet; of a kind without any a tick says all."""
    if kind.draw is Draw.COUNT:
        picked = {pick.field for pick in kind.picks}
        return tuple(
            each.name
            for each in kind.fields
            if isinstance(each.type, Choice) and (each.name in picked or each.type.ordered)
        )
    if kind.draw is Draw.READINGS:
        return tuple(each.name for each in kind.fields if each.name in _read(kind))
    if kind.is_described_daily:
        return tuple(each.name for each in kind.fields if isinstance(each.type, Choice))
    return ()


def _read(kind: Kind) -> set[str]:
    """The numbers that are asked for: with a unit of their own all, else the first for each limit."""
    with_unit = {each.name for each in kind.fields if isinstance(each.type, Number) and each.type.unit_field}
    first = {limit: name for name, limit in reversed(list(READ.get(kind.name, {}).items()))}
    return with_unit or set(first.values())


def _part(kind: Kind, plan: Plan | None) -> Iterator[BlankPart]:
    tasks = [task for task in plan.tasks if task.kind == kind.name] if plan is not None else []
    names = fields_of(kind)
    unit, beside = _unit(kind, plan)
    details = {name: unit for name in _unit_fields(kind, names) if unit}
    if not unit:
        names = (*names, *dict.fromkeys(_unit_fields(kind, names)))  # no plan says which
    if kind.draw is Draw.READINGS and _unit_fields(kind, names) and not tasks:
        return
    count = COUNTED_ROWS if kind.draw is Draw.COUNT else max(1, *(_times(task) for task in tasks), 1)
    clocks = [f"{time:%H:%M}" for task in tasks for time in task.times]
    rows = tuple(
        BlankRow(kind.name, say(kind.title), details, clocks[n] if n < len(clocks) else "", names)
        for n in range(count)
    )
    yield BlankPart(say(kind.title), rows, beside)


def _unit_fields(kind: Kind, names: tuple[str, ...]) -> list[str]:
    types = [each.type for each in kind.fields if each.name in names]
    return [each.unit_field for each in types if isinstance(each, Number) and each.unit_field]


def _unit(kind: Kind, plan: Plan | None) -> tuple[str, str]:
    """The unit of a kind's limit in the plan, and the limit in words."""
    limit = (plan.details.get("limits", {}) if plan is not None else {}).get(kind.name)
    if limit is None or "unit" not in limit:
        return "", ""
    if "low" not in limit or "high" not in limit:
        return limit["unit"], limit["unit"]
    return limit["unit"], say(_LIMITS).format(low=limit["low"], high=limit["high"], unit=limit["unit"])


def _rows(task: Task) -> Iterator[BlankRow]:
    kind = named_or_unknown(task.kind)
    title = task_title(task.kind, task.where)
    clocks = [f"{time:%H:%M}" for time in task.times] or [""] * _times(task)
    details = _done(kind, task.where)
    needed = tuple(each.name for each in kind.fields if each.required and each.name not in details)
    is_tile = any(tile.records is not None for tile in kind.tiles)
    for clock in clocks:
        yield BlankRow(kind.name, title, details, clock, needed, needs_form=not needed and not is_tile)


def _done(kind: Kind, where: Details) -> Details:
    """What a tick records: the tile of the board that says so, else what the plan's entries must match."""
    for tile in kind.tiles:
        if tile.records is not None and where.items() <= tile.records.items():
            return tile.records
    return where


def _times(task: Task) -> int:
    if task.times:
        return len(task.times)
    return max(1, ceil(DAY_H * HOUR / (task.every or DAY_H * HOUR)))
