"""What a tile of the board tells at a glance: what was recorded last, how often today, what is due next."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile

from carelog.analysis.in_force import Held, Reading
from carelog.domain.due import Due, DueState
from carelog.domain.entry import Details
from carelog.domain.flag import Flag, Level
from carelog.domain.kind import Draw, Kind
from carelog.domain.moment import Instant
from carelog.domain.plan import Task

URGENCY = {DueState.LATE: 0, DueState.DUE: 1, DueState.SOON: 2, DueState.LATER: 3}
OVERDUE = "overdue"


@dataclass(frozen=True, slots=True)
class Glance:
    """What is told of one tile: the newest entry that its words are true of, and what the plan asks next."""

    held: Held | None
    said: tuple[str, ...]
    """The newest entry's details in a few words each, the most telling first."""
    today: int | None
    """How often since the day began, for what is counted; None: not counted, or the day isn't read yet."""
    due: Due | None


def glance(
    kind: Kind, records: Details | None, reading: Reading, dues: Iterable[Due], day: Instant | None
) -> Glance:
    """What a tile tells that records this, or any entry of its kind (None); `day`: when today began."""
    said = records or {}
    newest = next(_newest_first(reading, kind, said), None)
    today = None
    if kind.draw is Draw.COUNT and day is not None:
        today = sum(1 for _ in takewhile(lambda held: held.time >= day, _newest_first(reading, kind, said)))
    return Glance(
        newest,
        kind.brief(newest.entry.details, said) if newest is not None else (),
        today,
        min((due for due in dues if is_done_by(due, kind, records)), key=_how_urgent, default=None),
    )


def _newest_first(reading: Reading, kind: Kind, said: Details) -> Iterator[Held]:
    """The entries of a kind that say all of this."""
    return (held for held in reversed(reading.of(kind.name)) if said.items() <= held.entry.details.items())


def by_urgency(dues: Iterable[Due]) -> list[Due]:
    """What is late first, then what is due, then by time."""
    return sorted(dues, key=_how_urgent)


def _how_urgent(due: Due) -> tuple[int, Instant]:
    return URGENCY[due.state], due.due_at


def is_done_by(due: Due, kind: Kind, records: Details | None) -> bool:
    """Whether what a tile records does the task; a tile that opens a form does any task of its kind."""
    return due.kind == kind.name and (records is None or due.where.items() <= records.items())


def task_key(due: Due) -> str:
    """What the flags call the task of a due."""
    return Task(due.kind, due.where).key


def as_told(dues: Iterable[Due], flags: Iterable[Flag]) -> tuple[Due, ...]:
    """The dues as people are told of them: a task that is flagged as overdue is so since that moment.

    By set times the due moves on to the next slot, though nothing was done: what was missed stays told.
    """
    since = {
        flag.subject: flag.raised_at for flag in flags if flag.rule == OVERDUE and flag.cleared_at is None
    }
    return tuple(
        replace(due, state=DueState.LATE, late_at=since[task_key(due)]) if task_key(due) in since else due
        for due in dues
    )


def told_by_flag(dues: Iterable[Due], flags: Iterable[Flag]) -> set[str]:
    """The tasks, by their keys, whose lateness is serious enough to be told as a flag and not as a due."""
    late = {task_key(due) for due in dues if due.state is DueState.LATE}
    return {
        flag.subject for flag in flags if _is_of(flag, late) and flag.level >= Level.CALL and flag.subject
    }


def without_late(flags: Sequence[Flag], dues: Iterable[Due]) -> list[Flag]:
    """The flags without those that only say once more what stands among the dues: a task is due or late."""
    late = {task_key(due) for due in dues if due.state in (DueState.DUE, DueState.LATE)}
    return [flag for flag in flags if not (_is_of(flag, late) and flag.level < Level.CALL)]


def _is_of(flag: Flag, late: set[str]) -> bool:
    return flag.rule == OVERDUE and flag.cleared_at is None and flag.subject in late
