"""The reading as it grows: what is in force, in order, by kind; an entry costs the same in any year."""

from bisect import bisect_left, bisect_right, insort
from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterator, Sequence
from datetime import date
from itertools import takewhile
from typing import NamedTuple

from carelog.analysis.cuff import cuff_says
from carelog.analysis.in_force import DOUBTFUL_AFTER, Held, Reading, Withdrawn, alone, order_of
from carelog.analysis.plans import in_force, in_order, in_place, since_of
from carelog.analysis.recorded import is_care
from carelog.domain.entry import Entry, Json
from carelog.domain.moment import Home, Instant
from carelog.domain.plan import Plan

FIRST: Instant = -62_000_000_000_000_000
"""Before any time that can be written (in the year 5)."""
_FAR: Instant = 1 << 62
_CUFF_KINDS = ("cuff_state", "valve", "cuff_pressure")
Key = tuple[Instant, Instant, str]


def start_place(instant: Instant) -> Key:
    """The place in the order just before everything of an instant."""
    return (instant, -_FAR, "")


MIN_OF_RIVALS = 3
"""Entries of a chain: the one that was changed, and two changes of it."""


class Shelf:
    """Entries in force in reading order."""

    def __init__(self) -> None:
        self.keys: list[Key] = []
        self.held: list[Held] = []

    def __len__(self) -> int:
        return len(self.held)

    def put(self, held: Held) -> None:
        """Add one."""
        key = order_of(held)
        place = len(self.keys) if not self.keys or key > self.keys[-1] else bisect_left(self.keys, key)
        self.keys.insert(place, key)
        self.held.insert(place, held)

    def drop(self, held: Held) -> None:
        """Take one out."""
        place = bisect_left(self.keys, order_of(held))
        del self.keys[place], self.held[place]

    def newest(self) -> Held | None:
        """The newest, if there is one."""
        return self.held[-1] if self.held else None

    def backward(self, before: Key | None = None) -> Iterator[Held]:
        """From the newest (before a place, if given) back."""
        place = len(self.keys) if before is None else bisect_left(self.keys, before)
        for index in range(place - 1, -1, -1):
            yield self.held[index]

    def forward(self, after: Key) -> Iterator[Held]:
        """From the first after a place on."""
        for index in range(bisect_right(self.keys, after), len(self.keys)):
            yield self.held[index]

    def between(self, start: Instant, end: Instant) -> Sequence[Held]:
        """Those whose time lies from `start` to `end`, both included."""
        low = bisect_left(self.keys, start_place(start))
        return self.held[low : bisect_left(self.keys, start_place(end + 1))]


class Shift(NamedTuple):
    """One chain's entry in force, before and after something became known."""

    root: str
    kind: str
    before: Held | None
    after: Held | None


def overridden(plans: Sequence[Plan], override: tuple[Plan, Instant] | None) -> list[Plan]:
    """The plans with another in place of the one in force at a moment and of those after it."""
    if override is None:
        return list(plans)
    return in_place(plans, *override)


class Ledger:
    """What is in force of the entries known so far, kept by kind and in order.

    `Reading` says the same of all entries at once; this one takes them in as they become known, which costs
    the same in any year, and reads each chain by it. `tests/flags/test_ledger.py` holds them together.
    """

    def __init__(self, override: tuple[Plan, Instant] | None = None) -> None:
        """`override`: a plan in place of those in force from a moment on."""
        self.home = Home("UTC")
        self._override = override
        self.entries: dict[str, Entry] = {}
        self.known: dict[str, Instant] = {}
        self.held: dict[str, Held] = {}
        self.plans: list[Plan] = overridden([], override)
        self.tubes = Shelf()
        self.cuffs = Shelf()
        self.downs = Shelf()
        self.items: defaultdict[str, Shelf] = defaultdict(Shelf)
        self.fitted = Shelf()
        self.valves: defaultdict[str, Shelf] = defaultdict(Shelf)
        self.days: list[date] = []
        self.last_known: Instant | None = None
        self.last_entries: tuple[str, ...] = ()
        self.new_ids: frozenset[str] = frozenset()
        self.days_moved = False
        self._counts: Counter[date] = Counter()
        self._day_end: tuple[Instant, Instant, date] | None = None
        self._roots: dict[str, str] = {}
        """Of each change the first entry of its chain."""
        self._chains: dict[str, list[Entry]] = {}
        """By its first entry, each chain that has a change."""
        self.first_zoned: Held | None = None
        self._doubtful: set[str] = set()
        self.roles: dict[str, str] = {}
        """Of each tube change the recorder's role, by the newest entry about it when it became known."""
        self.waiting: defaultdict[str, list[Entry]] = defaultdict(list)
        self.followed: Instant = -_FAR
        """From when on all that was written is here; before that what rules ask for by name."""
        self._shelves: defaultdict[str, Shelf] = defaultdict(Shelf)

    def shelf(self, kind: str) -> Shelf:
        """A kind's entries in force."""
        return self._shelves[kind]

    def of(self, kind: str) -> Sequence[Held]:
        """A kind's entries in force, in reading order."""
        return self._shelves[kind].held

    def day(self, instant: Instant) -> date:
        """The home zone's local day."""
        kept = self._day_end
        if kept is None or not kept[0] <= instant < kept[1]:
            day = self.home.day(instant)
            kept = self._day_end = (self.home.start_of(day), self.home.end_of(day), day)
        return kept[2]

    def plan_at(self, instant: Instant) -> Plan | None:
        """The plan in force at an instant."""
        return in_force(self.plans, instant)

    def next_plan(self, instant: Instant) -> Instant:
        """When the next plan after an instant begins."""
        place = bisect_right(self.plans, instant, key=lambda plan: plan.since)
        return self.plans[place].since if place < len(self.plans) else _FAR

    def reaches_back(self, shift: Shift, last: Key | None) -> bool:
        """Whether a plan that came or went was in force at or before a place in the order."""
        begins = [since_of(held) for held in (shift.before, shift.after) if held is not None]
        return shift.kind == "plan" and last is not None and min(begins) <= last[0]

    def tube(self, before: Key) -> Held | None:
        """The tube in place just before a place in the order."""
        return next(self.tubes.backward(before), None)

    def tube_in_place(self) -> Held | None:
        """The tube in place; none after a tube was taken out for good, until another is placed."""
        return None if self.is_out() else self.tubes.newest()

    def is_out(self, before: Key | None = None) -> bool:
        """Whether a tube was taken out for good (before a place in the order), and none placed since."""
        out, tube = (
            next(each.backward(before), None) for each in (self._shelves["decannulation"], self.tubes)
        )
        return out is not None and (tube is None or order_of(tube) < order_of(out))

    def cuff_before(self, before: Key) -> bool | None:
        """What was said last of the cuff before it, since the tube in place was placed: up, down, nothing."""
        tube, said = self.tube(before), next(self.cuffs.backward(before), None)
        if said is None or (tube is not None and order_of(said) < order_of(tube)):
            return None
        return cuff_says(said.entry)

    def person_entry(self, name: str) -> Held | None:
        """The newest entry about the person that gives a field."""
        people = self._shelves["person"].backward()
        return next((held for held in people if name in held.entry.details), None)

    def person(self, name: str) -> Json:
        """A field of the person, or None where nobody gave it."""
        held = self.person_entry(name)
        return held.entry.details[name] if held is not None else None

    def versions(self, held: Held) -> Iterator[Held]:
        """What an entry in force was before its changes, the newest first, each as if it were in force."""
        entry = held.entry
        while entry.amends is not None:
            entry = self.entries[entry.amends]
            known = self.known[entry.id]
            doubtful = entry.at.instant > known + DOUBTFUL_AFTER
            time = known if doubtful else entry.at.instant
            yield held._replace(entry=entry, known=known, time=time, doubtful=doubtful)

    def first_known(self, held: Held, shows: Callable[[Held], bool]) -> Instant:
        """Since when an entry and its amendments have shown the same without a break."""
        known = held.known
        for version in takewhile(lambda each: not each.entry.withdrawn and shows(each), self.versions(held)):
            known = min(known, version.known)
        return known

    def time_of(self, entry_id: str) -> Instant:
        """When an entry happened; one of doubtful time when it became known."""
        entry, known = self.entries[entry_id], self.known[entry_id]
        return known if entry.at.instant > known + DOUBTFUL_AFTER else entry.at.instant

    def root_of(self, entry_id: str) -> str | None:
        """The first entry of the chain that an entry is part of; None: it isn't here, or its target isn't."""
        entry = self.entries.get(entry_id)
        return entry_id if entry is not None and entry.amends is None else self._roots.get(entry_id)

    def just_known(self, held: Held) -> bool:
        """Whether an entry is among those that became known last."""
        return held.entry.id in self.new_ids

    def take(self, group: Sequence[Entry], now: Instant, doubtful: Collection[str] = ()) -> list[Shift]:
        """Take in what becomes known at one moment; `doubtful`: ids whose own time is of no use."""
        touched: dict[str, Held | None] = {}
        self._doubtful.update(doubtful)
        for entry in group:
            self.entries[entry.id] = entry
            self.known[entry.id] = now
            self._place(entry, touched)
        shifts = [self._shift(root, before) for root, before in touched.items()]
        self.last_known, self.new_ids = now, frozenset(entry.id for entry in group)
        self.last_entries = tuple(e.id for e in sorted(group, key=lambda each: (each.recorded_at, each.id)))
        if any(shift.kind == "plan" for shift in shifts):
            self._read_plans()
        for entry in group:
            if entry.kind == "tube_change" and entry.by:
                self.roles[entry.id] = self._role(entry.by)
        return [each for each in shifts if each.before is not each.after or self.may_be_rivals(each.root)]

    def struck_rivals(self) -> Iterator[Shift]:
        """What is struck out and may have a losing side, which counts beside it."""
        for root in self._chains:
            if root not in self.held and self.may_be_rivals(root):
                yield Shift(root, self.entries[root].kind, None, None)

    def may_be_rivals(self, root: str) -> bool:
        """Whether two sides may want to change an entry: what counts beside the one in force may change."""
        return len(self._chains.get(root, ())) >= MIN_OF_RIVALS

    def _role(self, initials: str) -> str:
        """The role of a recorder, by the newest entry about these initials; empty where nobody said."""
        about = (held.entry.details for held in self._shelves["recorder"].backward())
        return next((str(each.get("role", "")) for each in about if each["initials"] == initials), "")

    def _read_plans(self) -> None:
        """The plans in the order of their `from`, then of becoming known."""
        self.plans = overridden(in_order(self.of("plan")), self._override)

    def _place(self, entry: Entry, touched: dict[str, Held | None]) -> None:
        """Add an entry to its chain, and after it the changes that came before it."""
        root = entry.id
        if entry.amends is not None:
            target, found = self.entries.get(entry.amends), self.root_of(entry.amends)
            if target is None or found is None:
                self.waiting[entry.amends].append(entry)
                return
            if target.kind != entry.kind:
                return
            root = self._roots[entry.id] = found
            self._chains.setdefault(root, [self.entries[root]]).append(entry)
        touched.setdefault(root, self.held.get(root))
        for change in self.waiting.pop(entry.id, ()):
            self._place(change, touched)

    def _shift(self, root: str, before: Held | None) -> Shift:
        after = self._stand(root)
        kind = self.entries[root].kind
        if after == before:
            return Shift(root, kind, before, before)
        if before is not None:
            for shelf in self._places(before):
                shelf.drop(before)
            self._count(before, -1)
            del self.held[root]
        if after is not None:
            for shelf in self._places(after):
                shelf.put(after)
            self._count(after, 1)
            self.held[root] = after
        return Shift(root, kind, before, after)

    def _places(self, held: Held) -> Iterator[Shelf]:
        """The shelves an entry stands on."""
        kind = held.entry.kind
        yield self._shelves[kind]
        if kind == "stock":
            yield self.items[held.entry.details["item"]]
        if kind == "inner_tube" and "fitted" in held.entry.details:
            yield self.fitted
        if kind == "valve":
            yield self.valves[held.entry.details.get("what", "valve")]
        if kind == "tube_change" and held.entry.details.get("ease") != "failed":
            yield self.tubes
        if kind in _CUFF_KINDS:
            says = cuff_says(held.entry)
            if says is not None:
                yield self.cuffs
            if says is False:
                yield self.downs

    def _stand(self, root: str) -> Held | None:
        chain = self._chains.get(root)
        if chain is None:
            held: Held | None = alone(self.entries[root], self.entries[root].recorded_at)
        else:
            held = next(iter(Reading(chain).held), None)
        if held is not None and held.entry.id in self._doubtful:
            known = self.known[held.entry.id]
            return held._replace(known=known, time=known, doubtful=True)
        return held

    def losers(self, root: str) -> Iterator[Held]:
        """The losing sides of a chain that two computers changed, each as if it were in force."""
        if not self.may_be_rivals(root):
            return
        reading = Reading(self._chains[root])
        stands: list[Held | Withdrawn] = [*reading.held, *reading.withdrawn]
        for each in stands:
            for entry in each.rivals[1:]:
                known = self.known[entry.id]
                doubtful = entry.id in self._doubtful or entry.at.instant > known + DOUBTFUL_AFTER
                if not entry.withdrawn:
                    time = known if doubtful else entry.at.instant
                    yield Held(entry, each.first, known, time, doubtful, each.chain)

    def _count(self, held: Held, change: int) -> None:
        """Keep the recorded days: those of the home zone with an entry of care in force."""
        if not is_care(held.entry.kind):
            return
        day = self.day(held.time)
        self._counts[day] += change
        if self._counts[day] == 0:
            del self._counts[day]
            self.days.remove(day)
            self.days_moved = True
        elif change > 0 and self._counts[day] == 1:
            self.days_moved = self.days_moved or bool(self.days and day < self.days[-1])
            insort(self.days, day)

    def moves_home(self, shifts: Sequence[Shift]) -> bool:
        """Take over the home zone that what became known says, if it is another than before.

        It is the newest person's; else the zone of the first entry that gives one; else UTC: `Reading.home`,
        kept up to date, and `home.zone_givers`, asked of the file; `tests/flags/test_ledger.py` holds them
        together.
        """
        self._find_first_zone(shifts)
        zone = self.person("home_zone") if self.shelf("person") else None
        if zone is None:
            zone = self.first_zoned.entry.zone if self.first_zoned is not None else "UTC"
        if zone == self.home.name:
            return False
        self._rehome(Home(zone))
        return True

    def _find_first_zone(self, shifts: Sequence[Shift]) -> None:
        for shift in shifts:
            first, after = self.first_zoned, shift.after
            if first is not None and shift.root == first.first.id:
                zoned = [held for held in self.held.values() if held.entry.zone]
                self.first_zoned = min(zoned, key=order_of, default=None)
            elif after is not None and after.entry.zone:
                self.first_zoned = after if first is None else min(first, after, key=order_of)

    def _rehome(self, home: Home) -> None:
        """Read all days anew in another home zone."""
        self.home, self._day_end = home, None
        self._counts = Counter(self.day(held.time) for held in self.held.values() if is_care(held.entry.kind))
        self.days = sorted(self._counts)
        self.days_moved = True
