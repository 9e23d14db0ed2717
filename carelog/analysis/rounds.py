"""What the plan asked for in a period, and what became of it: done, late, not recorded.

A round is one due. Where a due stays undone for a whole further interval, that interval is a round of its
own, not recorded; what comes after it counts for the last one. Rounds that can't be (a stay, no tube, the
cuff down) aren't asked for, nor those of hours of which somebody said that nothing was written down.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from enum import Enum
from itertools import pairwise

from carelog.analysis.absence import absences
from carelog.analysis.cuff import active_cuff
from carelog.analysis.due import Slots, due_by_hours, is_doing, late_from, task_start
from carelog.analysis.tube import TUBE_TASKS, tube_events
from carelog.analysis.week import Review
from carelog.domain.moment import DAY_24_H, Instant
from carelog.domain.plan import Plan, Task

AROUND = 8 * DAY_24_H  # so far back the last doing before a stretch is looked for first
MOST_ROUNDS = 2000  # of one task in one period: beyond it a plan asks for more than anybody can do
MOST_A_DAY = 48  # and of a long period so many a day, in its place


class RoundState(Enum):
    """What became of a round."""

    DONE = "done"
    LATE = "late"
    MISSED = "not recorded"
    OPEN = "due"


@dataclass(frozen=True, slots=True)
class Round:
    """One round: when it was due, when it was done (None: not recorded), what became of it."""

    due_at: Instant
    done_at: Instant | None
    state: RoundState

    @property
    def at(self) -> Instant:
        """The moment it is shown at: when it was done, else when it was due."""
        return self.due_at if self.done_at is None else self.done_at


@dataclass(frozen=True, slots=True)
class AskedTask:
    """A task that the plans of a period hold, with its rounds in that period."""

    task: Task
    rounds: tuple[Round, ...]


class _Times:
    """When a task can be, and from when what can't be done counts as done: by stays, gaps, tube and cuff."""

    def __init__(self, review: Review) -> None:
        reading = review.reading
        self._absences = absences(reading)
        self._tube = [(held.time, held.entry.kind == "tube_change") for held in tube_events(reading)]
        self._cuff = active_cuff(reading)
        self._returns = sorted(each.end for each in self._absences if each.end is not None)
        pairs = pairwise(self._tube)
        self._placed_again = [time for (_, before), (time, is_in) in pairs if is_in and not before]
        self._changes = sorted([*self._returns, *(time for time, _ in (*self._tube, *self._cuff))])
        self._put_up = [time for time, is_up in self._cuff if is_up]

    def is_absent(self, at: Instant) -> bool:
        """Whether an instant lies in a stay or a gap."""
        return any(each.holds(at) for each in self._absences)

    def can_be(self, task: Task, at: Instant) -> bool:
        """Whether the task can be at an instant, and be known."""
        if self.is_absent(at) or (task.kind in TUBE_TASKS and not _value(self._tube, at, True)):
            return False
        return task.kind != "cuff_pressure" or _value(self._cuff, at, True)

    def again(self, task: Task, at: Instant) -> Instant | None:
        """The next change after which the task can be; None when there is none."""
        later = range(bisect_right(self._changes, at), len(self._changes))
        return next((self._changes[n] for n in later if self.can_be(task, self._changes[n])), None)

    def resumed(self, task: Task) -> list[Instant]:
        """The moments that count for a task by hours as if it had been done then."""
        placed = self._placed_again if task.kind in TUBE_TASKS else []
        return sorted([*self._returns, *placed])

    def moved(self, task: Task, at: Instant, start: Instant) -> Instant:
        """A task's start as moved on before an instant: by one of these moments, or by a cuff put up."""
        ends = [time for time in self.resumed(task) if time <= at]
        place = bisect_right(self._put_up, at) if task.kind == "cuff_pressure" else 0
        return max([start, *ends, *self._put_up[max(place - 1, 0) : place]])


def _value(changes: Sequence[tuple[Instant, bool]], at: Instant, first: bool) -> bool:
    place = bisect_right(changes, at, key=lambda change: change[0])
    return changes[place - 1][1] if place else first


def asked(review: Review) -> list[AskedTask]:
    """Every task of the period's plans with its rounds, in the order of the plans."""
    times, found = _Times(review), dict[str, tuple[Task, list[Round]]]()
    for plan, start, end in _stretches(review):
        in_force = [each for each in review.plans if each.since <= plan.since]
        for task in plan.tasks:
            walk = _by_hours if task.every is not None else _by_slots
            rounds = walk(_Walk(review, times, task, task_start(task, in_force), start, end))
            _, before = found.setdefault(task.key, (task, []))
            seen = {each.done_at for each in before if each.done_at is not None}
            before += [each for each in rounds if each.done_at not in seen or each.done_at is None]
    period = review.period
    return [
        AskedTask(task, tuple(each for each in rounds if period.start <= each.at < period.judged))
        for task, rounds in found.values()
    ]


def _stretches(review: Review) -> Iterator[tuple[Plan, Instant, Instant]]:
    """The plans in force in the period, each with its part of the period."""
    period, plans = review.period, review.plans
    for number, plan in enumerate(plans):
        end = plans[number + 1].since if number + 1 < len(plans) else period.judged
        start, end = max(plan.since, period.start), min(end, period.judged)
        if start < end:
            yield plan, start, end


@dataclass(frozen=True, slots=True)
class _Walk:
    """One task over one stretch of the period."""

    review: Review
    times: _Times
    task: Task
    since: Instant
    start: Instant
    end: Instant

    @property
    def most(self) -> int:
        """So many rounds are looked at, at most."""
        return max(MOST_ROUNDS, MOST_A_DAY * len(self.review.period.days))

    def doings(self) -> list[Instant]:
        """All doings up to the end of what is judged, in order."""
        held = self.review.reading.of(self.task.kind)
        first = bisect_left(held, self.start - AROUND, key=lambda each: each.time)
        last = bisect_left(held, self.review.period.judged, key=lambda each: each.time)
        found = [each.time for each in held[first:last] if is_doing(self.task, each)]
        if first and not (found and found[0] < self.start):
            found = [each.time for each in held[:last] if is_doing(self.task, each)]
        return found

    def is_done_between(self, start: Instant, end: Instant) -> bool:
        """Whether it was done from one instant on, before another."""
        held = self.review.reading.of(self.task.kind)
        first, last = (bisect_left(held, each, key=lambda one: one.time) for each in (start, end))
        return any(is_doing(self.task, each) for each in held[first:last])

    def late(self, due: Instant) -> Instant:
        """From when a due is late."""
        return late_from(
            self.review.period.home, self.task, due, self.times.moved(self.task, due, self.since)
        )


def _by_hours(walk: _Walk) -> Iterator[Round]:
    """The rounds from what counts as the last doing before the stretch on.

    A stay's end and the like count as a doing that makes no round of its own.
    """
    doings = walk.doings()
    marks = sorted({*doings, *(time for time in walk.times.resumed(walk.task) if time > walk.since)})
    place = bisect_right(marks, walk.start - 1)
    base = marks[place - 1] if place else walk.since
    for _ in range(walk.most):
        following = marks[place] if place < len(marks) else None
        is_doing = following is not None and _is_among(doings, following)
        yield from _until(walk, base, following, is_doing)
        if following is None or following >= walk.end:
            return
        base, place = following, place + 1


def _is_among(times: Sequence[Instant], wanted: Instant) -> bool:
    place = bisect_left(times, wanted)
    return place < len(times) and times[place] == wanted


def _until(walk: _Walk, base: Instant, following: Instant | None, is_doing: bool) -> Iterator[Round]:
    """The rounds between one doing and the next: passed by, then late or done."""
    task, every = walk.task, walk.task.every
    assert every is not None
    due = _possible(walk, max(due_by_hours(walk.review.period.home, task, base), 0))
    stop = walk.end if following is None else min(following, walk.end)
    for _ in range(walk.most):
        if due is None or due >= stop or (is_doing and following is not None and following < due + every):
            break
        late = walk.late(due)
        if due >= walk.start and not walk.times.is_absent(late):
            yield from _undone(walk, due, late, max(late, due + every))
        due = _possible(walk, due_by_hours(walk.review.period.home, task, due))
    if is_doing and following is not None and following < walk.end:
        is_late = due is not None and due < following and walk.late(due) < following
        yield Round(due or following, following, RoundState.LATE if is_late else RoundState.DONE)


def _possible(walk: _Walk, due: Instant) -> Instant | None:
    """A due, moved on to when the task can be."""
    if walk.times.can_be(walk.task, due):
        return due
    return walk.times.again(walk.task, due)


def _by_slots(walk: _Walk) -> Iterator[Round]:
    slots, doings = _slots(walk), walk.doings()
    task = walk.task
    for slot, following in pairwise(slots):
        if not walk.start <= slot < walk.end or slot < walk.since:
            continue
        opens, closes = slot - task.early, following - task.early
        first = bisect_left(doings, opens)
        done = doings[first] if first < len(doings) and doings[first] < closes else None
        if not walk.times.can_be(task, slot) or slot < walk.times.moved(task, slot, walk.since):
            if done is not None and walk.times.is_absent(slot):
                yield Round(slot, done, RoundState.DONE)
            continue
        late = walk.late(slot)
        if done is not None:
            yield Round(slot, done, RoundState.LATE if done > late else RoundState.DONE)
        elif not walk.times.is_absent(late):
            yield from _undone(walk, slot, min(late, closes), closes)


def _undone(walk: _Walk, due: Instant, missed: Instant, closes: Instant) -> Iterator[Round]:
    """A round without a doing in its days: from when it is missed, and until when a doing counts for it.

    Days that are over have nothing open: what was done after them in
    time is the next days', and else it wasn't recorded.
    """
    period = walk.review.period
    if missed < period.judged:
        yield Round(due, None, RoundState.MISSED)
    elif not period.is_finished:
        yield Round(due, None, RoundState.OPEN)
    elif not walk.is_done_between(period.judged, closes):
        yield Round(due, None, RoundState.MISSED)


def _slots(walk: _Walk) -> list[Instant]:
    home, found = walk.review.period.home, set[Instant]()
    slots = Slots(home, walk.task)
    at = walk.start
    while at < walk.end + DAY_24_H:
        found |= set(slots.around(at))
        at = home.start_of(home.day(at) + timedelta(days=1))
    return sorted(found)
