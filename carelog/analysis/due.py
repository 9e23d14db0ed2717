"""What the plan asks for next.

A working set gives the same answer as the whole record when it holds, with their whole chains of changes:
all plans, stays, gaps, tube changes, decannulations and persons (without a home zone in them, the first
entry that gives a zone);
of each task the newest doing (at set times: those of the last three days, and of the task's early minutes
before); and of `cuff_state`, `valve` and `cuff_pressure` those since the cuff was last put up, with the
newest before that which says it was down. More never harms.

The flag `overdue` looks for the moment instead (`rules.lateness`); `tests/analysis/test_overdue_agrees.py`
holds the two together.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from functools import lru_cache

from carelog.analysis.absence import is_away, last_return
from carelog.analysis.cuff import cuff_is_up, put_up
from carelog.analysis.in_force import Held, Reading, same_value
from carelog.analysis.plans import in_place, plans
from carelog.analysis.times import near
from carelog.analysis.tube import TUBE_TASKS, has_air_cuff, is_decannulated, recannulated, tube_in_place
from carelog.domain.due import Due, DueState
from carelog.domain.entry import Details
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Home, Instant, Moment
from carelog.domain.plan import Plan, Span, Task
from carelog.domain.units import plain
from carelog.kinds import named_or_unknown
from carelog.text import mark, say

SOON = 60 * MINUTE
FAR = Moment.read("9999-12-25T00:00:00Z").instant
"""What an absurdly long interval leads to: the last days that can be written."""
_NEVER = mark("Not done yet since the plan asks for it.")
_LAST = mark("Last done {time} by {who}.")
_LAST_NO_NAME = mark("Last done {time}, no name.")
_EVERY = mark("The plan asks for it every {hours} h.")
_TIMES = mark("The plan asks for it at {times}.")
_AFTER_STAY = mark("Counted from {time}, the end of the stay.")
_AFTER_GAP = mark("Counted from {time}: nothing was written down until then.")
_NEW_TUBE = mark("Counted from {time}, when a tube was placed again.")
_MOVED = mark("Moved to {time} by the quiet hours {start} to {end}.")


def matches(where: Details, details: Details) -> bool:
    """Whether details hold all that a task's `where` asks for."""
    return all(name in details and same_value(details[name], value) for name, value in where.items())


def is_doing(task: Task, held: Held) -> bool:
    """Whether an entry in force counts as doing the task."""
    entry = held.entry
    return (
        entry.kind == task.kind
        and named_or_unknown(entry.kind).does(entry.details)
        and matches(task.where, entry.details)
    )


def last_doing(reading: Reading, task: Task) -> Held | None:
    """The newest doing of a task, or None."""
    return next((held for held in reversed(reading.of(task.kind)) if is_doing(task, held)), None)


def span_around(home: Home, span: Span, instant: Instant) -> tuple[Instant, Instant] | None:
    """The quiet span (its first instant, the first after it) that holds an instant, or None.

    An edge in the spring gap is the first minute after it; one that comes twice in autumn is the first.
    """
    day = home.day(instant)
    for first in (day, day - timedelta(days=1)):
        begin, end = _span_of(home, span, first)
        if begin <= instant < end:
            return begin, end
    return None


@lru_cache(maxsize=256)
def _span_of(home: Home, span: Span, first: date) -> tuple[Instant, Instant]:
    """The span that begins on a local day; empty when it begins and ends at the same time."""
    start, end = span
    last = first + timedelta(days=1) if start > end else first
    return home.at(first, start), home.at(last, end)


@dataclass(frozen=True, slots=True)
class Resumed:
    """From when a task by hours counts as if it had been done then, though it wasn't; and why, in words."""

    time: Instant
    words: str


def resumed(reading: Reading, task: Task, now: Instant) -> Resumed | None:
    """The newest end of a stay or of a gap by now, or for what needs a tube, a tube placed again; or None."""
    found: Resumed | None = None
    back = last_return(reading, now)
    if back is not None:
        found = Resumed(back.until, _AFTER_STAY if back.is_stay else _AFTER_GAP)
    placed = recannulated(reading, now) if task.kind in TUBE_TASKS else None
    if placed is not None and (found is None or placed > found.time):
        return Resumed(placed, _NEW_TUBE)
    return found


@dataclass(frozen=True, slots=True)
class Slots:
    """The slots of a task at set times: each local time of each day, as instants."""

    home: Home
    task: Task

    def around(self, instant: Instant) -> list[Instant]:
        """All slots from two days before an instant to two days after its early time, in order."""
        day = self.home.day(min(instant, FAR))
        most = min(3 + self.task.early // DAY_24_H, (date.max - day).days)
        days = [day + timedelta(days=n) for n in range(-2, most)]
        return sorted({self.home.at(each, clock) for each in days for clock in self.task.times})

    def next_due(self, now: Instant, start: Instant, doings: Sequence[Instant]) -> Instant:
        """The newest slot that has opened if it is unsatisfied, else the next; none before the start."""
        asked = [slot for slot in self.around(max(now, start)) if slot >= start]
        opened = [place for place, slot in enumerate(asked) if slot - self.task.early <= now]
        if not opened:
            return asked[0]
        newest = opened[-1]
        following = asked[newest + 1]
        opens, closes = asked[newest] - self.task.early, following - self.task.early
        return following if any(opens <= done < closes for done in doings) else asked[newest]


def due_by_hours(home: Home, task: Task, base: Instant) -> Instant:
    """The due of a task by hours after its last doing (or its start), moved out of the quiet span."""
    assert task.every is not None
    plain_due = min(base + task.every, FAR)
    quiet = span_around(home, task.quiet, plain_due) if task.quiet is not None else None
    if quiet is None:
        return plain_due
    begin, end = quiet
    return end if (begin - base) * 2 < task.every else begin


def late_from(home: Home, task: Task, due_at: Instant, start: Instant) -> Instant:
    """From when a due is late: after its grace and the start's; by hours not in the quiet span."""
    late = min(max(due_at, start) + task.grace, FAR)
    if task.every is not None and task.quiet is not None:
        quiet = span_around(home, task.quiet, late)
        return quiet[1] if quiet is not None else late
    return late


def task_start(task: Task, in_force: Sequence[Plan]) -> Instant:
    """The moment since which a task has stood unchanged; `in_force` are the plans up to now, oldest first."""
    start = in_force[-1].since
    for plan in reversed(in_force):
        if all(each.same() != task.same() for each in plan.tasks):
            break
        start = plan.since
    return start


def started(reading: Reading, task: Task, in_force: Sequence[Plan], now: Instant) -> Instant:
    """A task's start, moved on by the end of a stay, by a gap, a tube placed again, or a cuff put up."""
    back = resumed(reading, task, now)
    moved = [task_start(task, in_force), back.time if back else None]
    if task.kind == "cuff_pressure":
        moved.append(put_up(reading, now))
    return max(moment for moment in moved if moment is not None)


def is_possible(reading: Reading, task: Task, now: Instant) -> bool:
    """Whether the task can be: not in a stay, not without the tube it needs, no pressure of a cuff down."""
    if is_away(reading, now) or (task.kind in TUBE_TASKS and is_decannulated(reading, now)):
        return False
    if task.kind != "cuff_pressure":
        return True
    return has_air_cuff(tube_in_place(reading, now)) and cuff_is_up(reading, now)


def dues(reading: Reading, now: Instant, plan: Plan | None = None) -> list[Due]:
    """Every task's next due at `now`, sorted; a given plan takes the place of those in force from now on."""
    now = min(now, FAR)
    recorded = plans(reading)
    if plan is not None:
        recorded = in_place(recorded, plan, now)
    in_force = [each for each in recorded if each.since <= now]
    if not in_force:
        return []
    found = [
        _due(reading, task, started(reading, task, in_force, now), now)
        for task in in_force[-1].tasks
        if is_possible(reading, task, now)
    ]
    return sorted(found, key=lambda due: (due.due_at, due.kind, sorted(map(str, due.where.values()))))


def _due(reading: Reading, task: Task, start: Instant, now: Instant) -> Due:
    home, last = reading.home, last_doing(reading, task)
    back = resumed(reading, task, now) if task.every is not None else None
    if back is not None and last is not None and last.time >= back.time:
        back = None
    base = last.time if last else start
    if task.every is not None:
        base = base if back is None else max(base, back.time)
        due_at = due_by_hours(home, task, base)
    else:
        due_at = Slots(home, task).next_due(now, start, list(_recent_doings(reading, task, now)))
    late_at = late_from(home, task, due_at, start)
    return Due(
        kind=task.kind,
        where=task.where,
        due_at=due_at,
        state=_state(now, due_at, late_at),
        last_at=last.time if last else None,
        last_by=last.first.by if last else "",
        why=" ".join(_why(home, task, last, back, base, due_at, now)),
        late_at=late_at,
    )


def _recent_doings(reading: Reading, task: Task, now: Instant) -> Iterator[Instant]:
    for held in reversed(reading.of(task.kind)):
        if held.time < now - 72 * HOUR - task.early:
            break
        if is_doing(task, held):
            yield held.time


def _state(now: Instant, due_at: Instant, late_at: Instant) -> DueState:
    if now >= late_at:
        return DueState.LATE
    if now >= due_at:
        return DueState.DUE
    return DueState.SOON if now >= due_at - SOON else DueState.LATER


def _why(
    home: Home,
    task: Task,
    last: Held | None,
    back: Resumed | None,
    base: Instant,
    due_at: Instant,
    now: Instant,
) -> Iterator[str]:
    yield say(_NEVER) if last is None else _last_words(home, last, now)
    if back is not None:
        yield say(back.words).format(time=near(home, back.time, now))
    if task.every is None:
        yield say(_TIMES).format(times=", ".join(f"{clock:%H:%M}" for clock in task.times))
        return
    yield say(_EVERY).format(hours=plain(round(Fraction(task.every, HOUR), 2)))
    if task.quiet is not None and due_at != base + task.every:
        start, end = (f"{clock:%H:%M}" for clock in task.quiet)
        yield say(_MOVED).format(time=near(home, due_at, now), start=start, end=end)


def _last_words(home: Home, last: Held, now: Instant) -> str:
    by = last.first.by
    return say(_LAST if by else _LAST_NO_NAME).format(time=near(home, last.time, now), who=by)
