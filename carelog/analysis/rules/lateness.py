"""When a task gets late, as functions of its rhythm, the last doing and the start.

`due` says how things stand at one moment; here the moment is looked for, so that a flag knows when time
alone will raise it. `tests/analysis/test_overdue_agrees.py` holds the two together.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from carelog.analysis.due import due_by_hours, late_from
from carelog.analysis.flags.life import NEVER
from carelog.domain.moment import HOUR, Home, Instant
from carelog.domain.plan import Task

SLOT_DAYS = 9


def late_by_hours(task: Task, base: Instant, start: Instant, home: Home) -> Instant:
    """From when a task by hours is late, done (or begun) at `base` and asked for since `start`."""
    return late_from(home, task, due_by_hours(home, task, base), start)


def slots(task: Task, home: Home, start: Instant, days: int = SLOT_DAYS) -> Iterator[Instant]:
    """The task's slots from the day of a moment on, in order, each once."""
    first = home.day(start)
    seen = None
    for number in range(days):
        try:
            day: date = first + timedelta(days=number)
        except OverflowError:
            return
        for slot in sorted({home.at(day, clock) for clock in task.times}):
            if slot != seen:
                yield slot
            seen = slot


def late_by_times(
    task: Task, last: Instant | None, start: Instant, after: Instant, home: Home
) -> Iterator[Instant]:
    """The moments from which slots are late, one a slot that nobody satisfied: the first may be long past.

    A slot is asked for from the start on; a doing from `early` before it satisfies it; when the next one
    opens before its grace is over, it never gets late. `after` bounds the search for the first.
    """
    found = slots(task, home, after - 36 * HOUR)
    slot = next(found, None)
    for following in found:
        if (
            slot is not None
            and _is_asked(task, slot, last, start)
            and slot + task.grace < following - task.early
        ):
            yield slot + task.grace
        slot = following


def _is_asked(task: Task, slot: Instant, last: Instant | None, start: Instant) -> bool:
    return slot >= start and (last is None or slot - task.early > last)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of time (end excluded) in which a task stands unchanged, or there is none (`task` None).

    `resumed`: from when a task by hours counts as done, at the end of a stay and the like.
    """

    start: Instant
    end: Instant
    task: Task | None
    resumed: Instant | None = None


@dataclass(frozen=True, slots=True, order=True)
class Break:
    """A stretch without a task, empty for a `gap`; after one that resumes, its end counts as a doing."""

    start: Instant
    end: Instant
    resumes: bool


def without(pieces: Sequence[Stretch], breaks: Sequence[Break]) -> list[Stretch]:
    """The stretches with the breaks taken out; what is asked for after a break starts at its end."""
    for each in breaks:
        pieces = [part for piece in pieces for part in _cut(piece, each)]
    ends = [each.end for each in breaks if each.resumes]
    return [
        replace(piece, resumed=max((end for end in ends if end <= piece.start), default=None))
        for piece in pieces
    ]


def _cut(piece: Stretch, gap: Break) -> Iterator[Stretch]:
    if piece.task is None or gap.end < piece.start or gap.start >= piece.end:
        yield piece
        return
    if gap.start > piece.start:
        yield Stretch(piece.start, gap.start, piece.task)
    yield Stretch(max(gap.start, piece.start), min(gap.end, piece.end), None)
    if gap.end < piece.end:
        yield Stretch(gap.end, piece.end, piece.task)


@dataclass(frozen=True, slots=True)
class Late:
    """A stretch in which a task is overdue: since when, from when it calls, until when, under which task."""

    since: Instant
    calls: Instant
    until: Instant
    task: Task


def late_stretches(pieces: list[Stretch], last: Instant | None, calls: bool, home: Home) -> list[Late]:
    """The stretches of lateness after the last doing, by what is known now; only a gap in the task ends one.

    `pieces` follow each other from before the last doing on; a piece's start is the task's start.
    """
    found: list[Late] = []
    late: tuple[Instant, Instant, Task] | None = None
    for piece in pieces:
        if piece.task is None:
            if late is not None:
                found.append(Late(late[0], late[1], piece.start, late[2]))
            late = None
        elif late is None:
            late = _first_late(piece, piece.task, last, calls, home)
    if late is not None:
        found.append(Late(late[0], late[1], NEVER, late[2]))
    return found


def _first_late(
    piece: Stretch, task: Task, last: Instant | None, calls: bool, home: Home
) -> tuple[Instant, Instant, Task] | None:
    if task.every is not None:
        base = piece.start if last is None else last
        base = base if piece.resumed is None else max(base, piece.resumed)
        since = late_by_hours(task, base, piece.start, home)
        since = max(since, piece.start)
        call = since + task.every
    else:
        after = max(piece.start, piece.start if last is None else last)
        moments = late_by_times(task, last, piece.start, after, home)
        since, call = next(moments, NEVER), next(moments, NEVER)
    if since >= piece.end:
        return None
    return since, call if calls else NEVER, task
