"""What is true now: a bounded working set of entries, and the picture of them at a moment.

Opening costs a few seeks a kind and one entry costs the same in week 1 and in year 10: of kinds that only
ever mount up the newest are kept, and more of them only while a task's last doing isn't among them.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from carelog.analysis.due import SOON, dues, last_doing
from carelog.analysis.home import zone_givers
from carelog.analysis.in_force import DOUBTFUL_AFTER, Held, Reading
from carelog.analysis.people import Person, contacts, person, recorders
from carelog.analysis.plans import plan_at, plans
from carelog.analysis.tube import tube_in_place
from carelog.analysis.visit.signed import NOT_SIGNED, Signed, signed
from carelog.app.ports import FAR, Arrival, Record
from carelog.app.writing import is_writing, last_writing
from carelog.domain.due import Due
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Home, Instant
from carelog.domain.plan import Plan, Task
from carelog.kinds import ALL

if TYPE_CHECKING:
    from carelog.analysis.flags.watch import Watch
    from carelog.analysis.usual.comparison import Comparison

LASTING = tuple(kind.name for kind in ALL if kind.is_lasting)

NEWEST = 16
"""Of any other kind so many of the newest are looked at first."""

MANY = 500
"""So many new entries at once (an import) are cheaper read anew than taken in one by one."""

DAYS = 4 * DAY_24_H
"""Of a task at set times, the doings of these days count."""


@dataclass(frozen=True, slots=True)
class Picture:
    """What the record shows at one moment, by what was known then."""

    now: Instant
    home: Home
    person: Person
    contacts: Sequence[Held]
    recorders: Sequence[Held]
    plan: Plan | None
    plans: tuple[Plan, ...]
    """All plans, in the order of their `from`."""
    tube: Held | None
    dues: tuple[Due, ...]
    latest: Mapping[str, Held]
    """The newest entry in force of each kind that has one."""
    last: Held | None
    """The newest entry in force of any kind, by when it happened."""
    last_known: Instant | None
    """When the record was last written to."""
    last_by: str
    """The initials in the entry that was written last, not only said; empty when it has none."""
    count: int
    as_of: Instant | None = None
    """While the clock can't be believed, the moment that all this is of; then what is due isn't known."""
    flags: tuple[Flag, ...] | None = None
    """The flags in force, and those that ended within seven days; None: not read yet."""
    comparison: "Comparison | None" = None
    """What stands beside the flags by statistics; None: not read yet."""
    signed: Signed = NOT_SIGNED
    """What was signed on the newest visits."""
    looked: Mapping[str, Held] = field(default_factory=dict)
    """What was written down by those who looked at a flag that is here, by the ids that the flags hold."""


class Outlook:
    """Keeps what the picture needs; `add` after each commit, `refresh` when others may have written."""

    def __init__(self, record: Record, at: Instant | None = None) -> None:
        """`at` asks what was known at a moment, and only that; without it the outlook lives on."""
        self._record = record
        self._at = at
        self._before = FAR if at is None else at + DOUBTFUL_AFTER
        self._arrival: Arrival = 0
        self._flags: Watch | None = None
        self._meanwhile: list[Entry] = []
        self._given: set[str] = set()
        """What was saved here since what arrived was asked for last."""
        self._since: Instant | None = None
        self._load()

    def add(self, entries: Sequence[Entry]) -> None:
        """Take in what was just saved here."""
        self._given.update(entry.id for entry in entries)
        self._tell_flags(entries)
        self._take([entry for entry in entries if entry.id not in self._entries])

    def refresh(self) -> list[Entry] | None:
        """Take in what arrived since this was asked last, from whatever process: what was new here.

        None: so much that whoever shows the record reads it anew.
        """
        last = self._record.last_arrival()
        if last - self._arrival > MANY:
            self._tell_flags([entry for _, entry in self._record.arrived(self._arrival)])
            self._load()
            return None
        found = [entry for _, entry in self._record.arrived(self._arrival)]
        # What a day or a flag was read with may be here already, and is new to everything else all the same.
        new = [entry for entry in found if entry.id not in self._given]
        self._arrival, self._given = last, set()
        self._tell_flags(found)
        self._take(new)
        return new

    def foresee(self) -> "Watch":
        """The flags that `watch` will keep: their first look, in any thread, reads what they need."""
        from carelog.analysis.flags.watch import Watch  # all the rules with it: what is due is shown before

        return Watch(self._record)

    def watch(self, flags: "Watch | None" = None) -> None:
        """From now on keep the flags too: those foreseen, with what was saved here while they were looked at.

        What another process wrote meanwhile comes with the next `refresh`.
        """
        self._flags = flags or self.foresee()
        self._tell_flags(self._meanwhile)
        self._meanwhile = []

    @property
    def is_watching(self) -> bool:
        """Whether the flags are kept too."""
        return self._flags is not None

    def keep_since(self, since: Instant) -> None:
        """Hold every entry from a moment on, read once: a day is counted and drawn whole."""
        if self._since is None or since < self._since:
            self._since = since
            self._keep(self._record.period(since, FAR))

    def holds(self, since: Instant) -> bool:
        """Whether every entry from a moment on is here."""
        return self._since is not None and self._since <= since

    def reading(self, now: Instant | None = None) -> Reading:
        """The reading of the working set: enough for what is due at `now`, not for a history."""
        found = self._read(now)
        while now is not None and self._search(found, now):
            found = self._read(now)
        return found

    def picture(self, now: Instant) -> Picture:
        """The picture at a moment; costs the same however long the record is."""
        flags = None if self._flags is None else tuple(self._flags.at(now))
        looked = [each for flag in flags or () for each in flag.seen]
        if missing := [each for each in looked if each not in self._entries]:
            self._keep(self._record.chain(missing))
        reading = self.reading(now)
        return Picture(
            now=now,
            home=reading.home,
            person=person(reading),
            contacts=tuple(contacts(reading)),
            recorders=tuple(recorders(reading)),
            plan=plan_at(reading, now),
            plans=tuple(plans(reading)),
            tube=tube_in_place(reading, now),
            dues=tuple(dues(reading, now)),
            latest={held.entry.kind: held for held in reading.held},
            last=reading.held[-1] if reading.held else None,
            last_known=self._last.recorded_at if self._last else None,
            last_by=self._writing.by if self._writing else "",
            count=self._count,
            flags=flags,
            comparison=None if self._flags is None else self._flags.comparison,
            signed=signed(reading),
            looked={each: held for each in looked if (held := reading.get(each)) is not None},
        )

    def same_until(self, picture: Picture) -> Instant:
        """The first moment after it at which time alone may show another picture, words and slots aside.

        Those go by the minutes of the clock: a task at set times, a quiet hour, “yesterday”.
        """
        now = picture.now
        if self._flags is None or self._at is not None or self._ahead > now or picture.flags is None:
            return now
        moments = [self._flags.same_until(picture.flags), *(plan.since for plan in picture.plans)]
        for due in picture.dues:
            moments += [due.due_at - SOON, due.due_at, due.late_at]
        for held in reversed(self.reading().held):
            if held.time <= now:
                break
            moments.append(held.time)
        return min((moment for moment in moments if moment > now), default=FAR)

    # Inside ---------------------------------------------------------------------------------------

    def _take(self, entries: Sequence[Entry]) -> None:
        """Count and keep what wasn't counted yet, with the chains that it changes."""
        for entry in entries:
            self._count += 1
            self._keep([entry])
            self._note(entry)
            if entry.amends is not None:
                self._keep(self._record.chain([entry.id]))

    def _tell_flags(self, entries: Sequence[Entry]) -> None:
        if self._flags is not None:
            self._flags.add(entries)
        else:
            self._meanwhile += entries

    def _load(self) -> None:
        record = self._record
        self._entries: dict[str, Entry] = {}
        self._searched: set[str] = set()
        self._since = None
        self._reading: Reading | None = None
        self._ahead: Instant = 0
        self._arrival = record.last_arrival()
        self._count = record.count()
        self._last, self._writing = record.last_written(), last_writing(record)
        self._keep(record.of_kinds(LASTING))
        for held in zone_givers(record, self._at):
            self._keep(held.chain)
        for kind in ALL:
            if kind.name not in LASTING:
                self._keep(record.newest(kind.name, NEWEST, self._before))
        if self._at is not None:
            self._keep(record.ahead(self._before))

    def _keep(self, entries: Iterable[Entry]) -> None:
        for entry in entries:
            self._entries[entry.id] = entry
            self._ahead = max(self._ahead, entry.recorded_at)
        self._reading = None

    def _note(self, entry: Entry) -> None:
        if self._last is None or entry.recorded_at >= self._last.recorded_at:
            self._last = entry
            self._writing = entry if is_writing(entry) else self._writing

    def _read(self, now: Instant | None) -> Reading:
        if self._at is None and now is not None and self._ahead > now:
            # A clock was ahead when something was written: until then each moment reads it anew.
            return Reading(self._entries.values(), live_now=now)
        if self._reading is None:
            self._reading = Reading(self._entries.values(), self._at)
        return self._reading

    def _search(self, reading: Reading, now: Instant) -> bool:
        """Look further back, once a task, for doings that the newest entries don't hold; whether it did."""
        plan = plan_at(reading, now)
        wanted = [task for task in plan.tasks if not self._is_settled(reading, task, now)] if plan else []
        for task in wanted:
            self._searched.add(task.same())
            self._keep(self._doings(task, now))
        return bool(wanted)

    def _is_settled(self, reading: Reading, task: Task, now: Instant) -> bool:
        """Whether a task's last doing, and at set times those of the last days, must be here."""
        if task.kind in LASTING or task.same() in self._searched:
            return True
        times = [held.entry.at.instant for held in reading.of(task.kind)]
        return len(times) >= NEWEST and min(times) < _far_back(task, now) and bool(last_doing(reading, task))

    def _doings(self, task: Task, now: Instant) -> Iterator[Entry]:
        """The chains of a task's last doing and of those of the days that count."""
        depth = NEWEST
        while True:
            found = self._record.newest(task.kind, depth, self._before)
            reading = Reading(found, self._at)
            last = last_doing(reading, task)
            times = [each.at.instant for each in found if each.kind == task.kind]
            if len(times) < depth or (last is not None and min(times) < _far_back(task, now)):
                break
            depth *= 8
        for held in reading.of(task.kind):
            if held is last or (task.times and held.time >= _far_back(task, now)):
                yield from held.chain


def _far_back(task: Task, now: Instant) -> Instant:
    return now - (DAYS + task.early if task.times else 0)
