"""Rules that time alone makes true: a task overdue, and nothing recorded."""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from carelog.analysis.cuff import cuff_says
from carelog.analysis.due import matches, span_around
from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.flags.life import NEVER, Cause
from carelog.analysis.flags.naming import named, unnamed
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.rules.evidence import CUFF_SAID
from carelog.analysis.rules.lateness import Break, Late, Stretch, late_stretches, without
from carelog.analysis.rules.rule import PRACTICE, Rule, Said
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Row, Tracker
from carelog.analysis.times import span
from carelog.analysis.tube import TUBE_TASKS
from carelog.domain.entry import Details
from carelog.domain.flag import Level, Matter
from carelog.domain.moment import DAY_24_H, HOUR, Instant
from carelog.domain.plan import Plan, Task
from carelog.domain.units import plain
from carelog.kinds import ALL as KINDS
from carelog.kinds import named_or_unknown
from carelog.text import mark, say

CALLING = ("inner_tube", "cuff_pressure", "equipment_check")
BEARING = ("cuff_pressure", "cuff_state", "valve", "tube_change")
SILENT_FOR = 12 * HOUR
ROUNDS = 100

OVERDUE = Rule(
    name="overdue",
    title=mark("Overdue"),
    subject=mark("the task"),
    raised=mark("A task of the plan is overdue, or has been since it was last done, by what is known now."),
    level=mark(
        "note. For the inner tube, the cuff pressure and the equipment check: call, one more interval "
        "after that. With clock times: call when the second in a row is overdue."
    ),
    clears=mark("The next doing; a plan without the task; a stay; a gap; when the task can't be."),
    sources=(PRACTICE,),
    matter=Matter.LATENESS,
    grows_with_time=True,
    stands=CUFF_SAID,
)
_LATE = mark("{task}: overdue since {time}.")
_LAST = mark("Last done {time}, {by}.")
_NEVER_DONE = mark("Nothing recorded since the plan asks for it.")
_EVERY = mark("The plan asks every {hours} h.")
_TIMES = mark("The plan asks at {times}.")
_DONE = mark("next recorded {time}")
_AWAY = mark("a hospital or respite stay")
_UNWRITTEN = mark("nothing was written down until {time}")
_NOT_ASKED = mark("not asked for now")
_NO_NAME = mark("no name")


@dataclass(slots=True)
class TaskLateness:
    """One task of some plan: its kind, what must match, its last doing, and when it is overdue by that."""

    kind: str
    where: Details
    last: Held | None = None
    late: Sequence[Late] | None = ()  # None: to be worked out anew when it is asked for

    def is_doing(self, held: Held | None) -> bool:
        """Whether an entry does the task."""
        if held is None or held.entry.kind != self.kind:
            return False
        details = held.entry.details
        return matches(self.where, details) and named_or_unknown(self.kind).does(details)


class OverdueTracker(Tracker):
    """All tasks of all plans, each with the stretches in which it is overdue by what is known now."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger)
        self._plans: list[tuple[Plan, dict[str, Task]]] = []
        self._asked: dict[str, TaskLateness] = {}
        self._by_kind: defaultdict[str, list[str]] = defaultdict(list)
        self._read_plans()

    def take(self, shift: Shift, now: Instant) -> bool:
        if shift.kind == "plan":
            self._read_plans()
        if shift.kind in ("plan", "stay", "gap", "decannulation") or self._moves_tubes(shift):
            for asked in self._asked.values():
                asked.late = None
            return True
        concerned = [self._asked[key] for key in self._by_kind.get(shift.kind, ())]
        changed = [asked for asked in concerned if self._concerns(asked, shift)]
        for asked in changed:
            asked.late = None
        return bool(changed)

    def _moves_tubes(self, shift: Shift) -> bool:
        """Whether a tube comes or goes in a household in which one was taken out for good."""
        if shift.kind != "tube_change" or not self.ledger.shelf("decannulation"):
            return False
        for asked in self._asked.values():
            if asked.kind == "tube_change":
                self._find_last(asked)
        return True

    def _read_plans(self) -> None:
        self._plans = [(plan, {task.key: task for task in plan.tasks}) for plan in self.ledger.plans]
        tasks = {key: task for _, asked in self._plans for key, task in asked.items()}
        self._asked = {key: self._asked.get(key) or self._newly(task) for key, task in tasks.items()}
        self._by_kind.clear()
        for key, asked in self._asked.items():
            for kind in _bearing(asked.kind):
                self._by_kind[kind].append(key)

    def _newly(self, task: Task) -> TaskLateness:
        asked = TaskLateness(task.kind, task.where)
        self._find_last(asked)
        return asked

    def _find_last(self, asked: TaskLateness) -> None:
        doings = (held for held in self.ledger.shelf(asked.kind).backward() if asked.is_doing(held))
        asked.last = next(doings, None)

    def _concerns(self, asked: TaskLateness, shift: Shift) -> bool:
        """Whether an entry changes the task's last doing, or whether the task can be."""
        touches = asked.kind == BEARING[0]
        if shift.kind != asked.kind:
            return touches
        before = asked.last
        if before is not None and before.first.id == shift.root:
            self._find_last(asked)
        elif shift.after is not None and _is_later(shift.after, before) and asked.is_doing(shift.after):
            asked.last = shift.after
        return touches or asked.last is not before

    def _late(self, key: str, asked: TaskLateness) -> Sequence[Late]:
        """The stretches in which a task is overdue, by its last doing."""
        if asked.late is None:
            last = asked.last.time if asked.last is not None else None
            pieces = without(_planned(self._plans, key, last), self._breaks(asked, last))
            asked.late = late_stretches(pieces, last, asked.kind in CALLING, self.ledger.home)
        return asked.late

    def _breaks(self, asked: TaskLateness, last: Instant | None) -> list[Break]:
        found = [Break(start, end, True) for start, end in stays(self.ledger)]
        found += [Break(held.time, held.time, True) for held in self.ledger.shelf("gap").held]
        if asked.kind in TUBE_TASKS:
            found += [Break(start, end, True) for start, end in tubeless(self.ledger)]
        if asked.kind == "cuff_pressure":
            found += [Break(start, end, False) for start, end in cuff_gaps(self.ledger, last) if start < end]
        return sorted(each for each in found if last is None or each.end > last)

    def leans_on(self, now: Instant, subjects: Collection[str | None] | None = None) -> Instant:
        """When the cuff was let down after its last reading: when it was put up again counts."""
        asked, down = self._asked.get(BEARING[0]), self.ledger.downs.newest()
        if asked is None or down is None or (asked.last is not None and asked.last.time > down.time):
            return NEVER
        since = min(down.time, down.known)
        return since if since < self.ledger.followed else NEVER

    def sources(self) -> Sequence[Said]:
        kinds = {kind for asked in self._asked.values() for kind in _bearing(asked.kind)}
        return [Said(kind) for kind in sorted(kinds)]

    def wake(self, now: Instant) -> Instant:
        moments = (
            moment
            for key, asked in self._asked.items()
            for late in self._late(key, asked)
            for moment in (late.since, late.calls, late.until)
            if moment > now
        )
        return min(moments, default=NEVER)

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        return [
            self._sign(key, asked, late, now)
            for key, asked in self._asked.items()
            for late in self._late(key, asked)
            if late.since <= now < late.until
        ]

    def _sign(self, key: str, asked: TaskLateness, late: Late, now: Instant) -> Sign:
        last = asked.last
        done = say(_NEVER_DONE)
        if last is not None:
            done = say(_LAST).format(time=named(last.time), by=unnamed(last.first.by) or say(_NO_NAME))
        return Sign(
            key=key,
            subject=key,
            level=Level.CALL if late.calls <= now else Level.NOTE,
            entries=(last.entry.id,) if last is not None else (),
            known=late.since,
            time=late.since,
            headline=say(_LATE).format(task=task_words(asked), time=named(late.since)),
            why=f"{done} {rhythm_words(late.task)}",
        )

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        asked = self._asked.get(subject or "")
        if asked is not None and asked.last is not None and self.ledger.just_known(asked.last):
            return say(_DONE).format(time=named(asked.last.time))
        stay = self.ledger.shelf("stay").newest()
        if stay is not None and stay.entry.details["action"] == "start":
            return say(_AWAY)
        gap = self.ledger.shelf("gap").newest()
        if gap is not None and self.ledger.just_known(gap):
            return say(_UNWRITTEN).format(time=named(gap.time))
        return say(_NOT_ASKED)


def _bearing(kind: str) -> tuple[str, ...]:
    """The kinds that bear on whether a task of a kind is done, or can be."""
    return BEARING if kind == BEARING[0] else (kind,)


def _is_later(held: Held, other: Held | None) -> bool:
    return other is None or order_of(held) > order_of(other)


def task_words(asked: TaskLateness) -> str:
    """A task's name for people: its kind, and what must match."""
    kind = named_or_unknown(asked.kind)
    line = kind.line(asked.where) if asked.where else ""
    return f"{say(kind.title)} ({line})" if line else say(kind.title)


def rhythm_words(task: Task) -> str:
    """How often the plan asks."""
    if task.every is not None:
        return say(_EVERY).format(hours=plain(round(task.every / HOUR, 2)))
    return say(_TIMES).format(times=", ".join(f"{each:%H:%M}" for each in task.times))


def _planned(
    plans: Sequence[tuple[Plan, Mapping[str, Task]]], key: str, last: Instant | None
) -> list[Stretch]:
    """The stretches in which the plans ask for a task, each from the start of what is asked unchanged."""
    pieces: list[Stretch] = []
    for number, (plan, tasks) in enumerate(plans):
        end = plans[number + 1][0].since if number + 1 < len(plans) else NEVER
        if end <= plan.since or (last is not None and end <= last):
            continue
        task = tasks.get(key)
        before = pieces[-1] if pieces else None
        if before is not None and _same(before.task, task):
            pieces[-1] = Stretch(before.start, end, task)
        else:
            pieces.append(Stretch(plan.since, end, task))
    return pieces


def _same(task: Task | None, other: Task | None) -> bool:
    return task is other or (task is not None and other is not None and task.same() == other.same())


def tubeless(ledger: Ledger) -> Iterator[tuple[Instant, Instant]]:
    """The stretches after a tube was taken out for good, each until one is placed again."""
    for held in ledger.shelf("decannulation").held:
        placed = next(ledger.tubes.forward(order_of(held)), None)
        yield held.time, NEVER if placed is None else placed.time


def stays(ledger: Ledger) -> Iterator[tuple[Instant, Instant]]:
    """The stays away from home, each from its first start to the next end; the last may be without one."""
    start: Instant | None = None
    for held in ledger.shelf("stay").held:
        if held.entry.details["action"] == "start":
            start = held.time if start is None else start
        elif start is not None:
            yield start, held.time
            start = None
    if start is not None:
        yield start, NEVER


def cuff_gaps(ledger: Ledger, last: Instant | None) -> Iterator[tuple[Instant, Instant]]:
    """When the cuff's pressure can't be read: the cuff is down, or the tube in place has no air cuff.

    Read from the last doing on, or from the newest time before which only a gap can be.
    """
    down = ledger.downs.newest()
    begin = max(-NEVER if last is None else last, -NEVER if down is None else down.time)
    place = (begin, -NEVER, "")
    tube = ledger.tube(place)
    is_air = tube is None or tube.entry.details["cuff"] == "air"
    can = is_air and ledger.cuff_before(place) is not False
    start = begin
    events = sorted([*ledger.tubes.forward(place), *ledger.cuffs.forward(place)], key=order_of)
    for held in events:
        if held.entry.kind == "tube_change":
            is_air = held.entry.details["cuff"] == "air"
            now_can = is_air
        else:
            now_can = is_air and cuff_says(held.entry) is not False
        if can and not now_can:
            start = held.time
        elif now_can and not can:
            yield start, held.time
        can = now_can
    if not can:
        yield start, NEVER


NOTHING = Rule(
    name="nothing_recorded",
    title=mark("Nothing recorded"),
    raised=mark(
        "No entry of any kind became known for 12 h. The plan's quiet hours are not counted. Not during a "
        "stay, and not before the first entry."
    ),
    level=mark("note"),
    clears=mark("The next entry."),
    sources=(PRACTICE,),
    matter=Matter.LATENESS,
)
_NOTHING = mark("Nothing recorded since {time}.")
_NOTHING_FOR = mark("Nothing recorded for {span}, since {time}.")
_SILENT = mark("12 h without an entry, the plan's quiet hours not counted.")
_AGAIN = mark("an entry {time}")


class NothingTracker(Tracker):
    """The time since anything became known; whoever replays says when that is, whatever it was."""

    kinds = ("",)

    def take(self, shift: Shift, now: Instant) -> bool:
        return False

    def sources(self) -> Sequence[Said]:
        return [Said(kind.name) for kind in KINDS]

    def _moment(self) -> Instant:
        """When 12 h will have passed since the last entry became known, quiet hours not counted."""
        last = self.ledger.last_known
        if last is None:
            return NEVER
        moment, left = last, SILENT_FOR
        for _ in range(ROUNDS):
            plan = self.ledger.plan_at(moment)
            change = self.ledger.next_plan(moment)
            span = span_around(self.ledger.home, plan.quiet, moment) if plan and plan.quiet else None
            if span is not None:
                moment = min(span[1], change)
                continue
            stop = min(self._next_quiet(plan, moment), change, moment + left)
            left -= stop - moment
            moment = stop
            if not left:
                return moment
        return NEVER

    def _next_quiet(self, plan: Plan | None, moment: Instant) -> Instant:
        if plan is None or plan.quiet is None:
            return NEVER
        home = self.ledger.home
        starts = (home.at(home.day(moment + days * DAY_24_H), plan.quiet[0]) for days in (0, 1, 2))
        return min((start for start in starts if start > moment), default=NEVER)

    def wake(self, now: Instant) -> Instant:
        moment = self._moment()
        return moment if moment > now else NEVER

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        stay = self.ledger.shelf("stay").newest()
        if stay is not None and stay.entry.details["action"] == "start":
            return []
        last, moment = self.ledger.last_known, self._moment()
        if last is None or now < moment:
            return []
        return [
            Sign(
                key="nothing",
                subject=None,
                level=Level.NOTE,
                entries=self.ledger.last_entries[-1:],
                known=moment,
                time=moment,
                headline=say(_NOTHING).format(time=named(last)),
                why=say(_SILENT),
            )
        ]

    def words(self, subject: str | None, now: Instant) -> tuple[str, str] | None:
        last = self.ledger.last_known
        if last is None:
            return None
        return say(_NOTHING_FOR).format(span=span(now - last), time=named(last)), say(_SILENT)

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        last = self.ledger.last_known
        return say(_AGAIN).format(time=named(last)) if last is not None else ""


ROWS: tuple[Row, ...] = ((OVERDUE, OverdueTracker), (NOTHING, NothingTracker))
