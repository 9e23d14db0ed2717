"""Which entries are in force: chains of changes read from their newest ends back, known by a moment.

What points at what decides, never clocks; only between rivals does the newest `recorded_at` win.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any, NamedTuple, TypeVar

from carelog.domain.entry import Details, Entry, Json, details_text
from carelog.domain.moment import MINUTE, Home, Instant
from carelog.domain.turn import give_way

DOUBTFUL_AFTER = 15 * MINUTE
LATE_AFTER = 60 * MINUTE
SAME_ACT = 10 * MINUTE
Answer = TypeVar("Answer")


class Held(NamedTuple):
    """An entry in force, with the chain of changes that led to it (oldest first)."""

    entry: Entry
    first: Entry
    known: Instant
    time: Instant
    doubtful: bool
    chain: tuple[Entry, ...]
    rivals: tuple[Entry, ...] = ()
    corrected: bool = False
    completed: bool = False
    written_late: bool = False


def order_of(held: Held) -> tuple[Instant, Instant, str]:
    """An entry's place in the reading order: by its time, then known from, then id."""
    return held.time, held.known, held.entry.id


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """A chain that is struck out: the entry last in force before, the withdrawal, and the whole chain."""

    entry: Entry
    withdrawal: Entry
    first: Entry
    chain: tuple[Entry, ...]
    time: Instant
    rivals: tuple[Entry, ...] = ()


def same_value(one: Json, other: Json) -> bool:
    """Whether two recorded values are the same; true isn't 1."""
    return one == other and details_text({"": one}) == details_text({"": other})


def _only_adds(target: Details, change: Details) -> bool:
    """Whether every given value stands the same in the change, inside objects too."""
    for name, value in target.items():
        if name not in change:
            return False
        if isinstance(value, dict) and isinstance(change[name], dict):
            if not _only_adds(value, change[name]):
                return False
        elif not same_value(value, change[name]):
            return False
    return True


def is_completion(target: Entry, change: Entry) -> bool:
    """Whether a change only adds what nobody had given yet; `at` and `by` may change within 10 minutes."""
    if change.withdrawn or not _only_adds(target.details, change.details):
        return False
    if target.note and change.note != target.note:
        return False
    same_act = change.recorded_at - target.recorded_at <= SAME_ACT
    return same_act or (change.at == target.at and change.by == target.by)


def is_slip(target: Entry, change: Entry) -> bool:
    """Whether whoever wrote an entry put it right within ten minutes: nobody is asked why."""
    is_soon = 0 <= change.recorded_at - target.recorded_at <= SAME_ACT
    return is_soon and bool(change.by) and change.by == target.by and not change.withdrawn


def alone(entry: Entry, known: Instant, is_to_come: bool = False) -> Held:
    """An entry that nobody has changed, in force; `is_to_come`: it says it is recorded later than now."""
    doubtful = is_to_come or entry.at.instant > known + DOUBTFUL_AFTER
    time = known if doubtful else entry.at.instant
    written_late = entry.recorded_at - entry.at.instant > LATE_AFTER
    return Held(entry, entry, known, time, doubtful, (entry,), written_late=written_late)


class Reading:
    """The entries in force among those known by a moment; the same for any order of arrival.

    `flags.ledger.Ledger` keeps the same up to date; `tests/flags/test_ledger.py` holds them together.
    """

    def __init__(
        self, entries: Iterable[Entry], known_by: Instant | None = None, live_now: Instant | None = None
    ) -> None:
        """`known_by` (UTC microseconds) leaves out what became known later; None reads all.

        A live reading gives the present as `live_now`: an entry whose `recorded_at` is still to come counts
        as recorded then, of doubtful time.
        """
        all_entries = {entry.id: entry for entry in entries}
        give_way()
        self._live_now = live_now
        self._known = known_from(all_entries, live_now)
        if known_by is not None:
            all_entries = {i: e for i, e in all_entries.items() if self._known[i] <= known_by}
        self._entries = all_entries
        self._sides: dict[str, list[Entry]] = defaultdict(list)
        for entry in all_entries.values():
            target = all_entries.get(entry.amends) if entry.amends else None
            if target is not None and target.kind == entry.kind:
                self._sides[target.id].append(entry)
        give_way()
        self._root: dict[str, str] = {}
        self._answers: dict[Callable[[Reading], Any], Any] = {}
        self.held, self.withdrawn = self._read()
        give_way()

    def _read(self) -> tuple[tuple[Held, ...], tuple[Withdrawn, ...]]:
        held, withdrawn = [], []
        for entry in self._entries.values():
            if entry.amends:
                continue
            if entry.id not in self._sides:
                held.append(alone(entry, self._known[entry.id], self._is_to_come(entry)))
                continue
            found = self._chain_of(entry)
            if isinstance(found, Held):
                held.append(found)
            else:
                withdrawn.append(found)
        held.sort(key=order_of)
        withdrawn.sort(key=lambda each: (each.time, each.withdrawal.recorded_at, each.first.id))
        return tuple(held), tuple(withdrawn)

    def _chain_of(self, root: Entry) -> Held | Withdrawn:
        members = [root]
        for entry in members:
            members.extend(self._sides.get(entry.id, ()))
        for entry in members:
            self._root[entry.id] = root.id
        places: dict[str, Entry] = {}
        live: dict[str, list[Entry]] = {}
        for entry in reversed(members):
            live[entry.id] = [
                s for s in self._sides.get(entry.id, ()) if not self._is_struck(s, places, live)
            ]
            winner = max(
                live[entry.id], key=lambda s: (places[s.id].recorded_at, places[s.id].id), default=None
            )
            places[entry.id] = entry if winner is None else places[winner.id]
        chain = tuple(sorted(members, key=lambda e: (self._known[e.id], e.id)))
        path, rivals = _path(root, places[root.id], self._entries), self._rivals(root, places, live)
        if places[root.id].withdrawn:
            struck = next((e for e in reversed(path[:-1]) if not e.withdrawn), root)
            return Withdrawn(struck, places[root.id], root, chain, self._time(struck)[0], rivals)
        return self._changed(root, path, chain, rivals)

    @staticmethod
    def _is_struck(side: Entry, places: dict[str, Entry], live: dict[str, list[Entry]]) -> bool:
        return bool(live[side.id]) and places[side.id].withdrawn

    @staticmethod
    def _rivals(root: Entry, places: dict[str, Entry], live: dict[str, list[Entry]]) -> tuple[Entry, ...]:
        entry = root
        while live[entry.id]:
            sides = sorted(
                live[entry.id], key=lambda s: (places[s.id].recorded_at, places[s.id].id), reverse=True
            )
            if len(sides) > 1:
                return tuple(places[side.id] for side in sides)
            entry = sides[0]
        return ()

    def _changed(
        self, root: Entry, path: list[Entry], chain: tuple[Entry, ...], rivals: tuple[Entry, ...]
    ) -> Held:
        entry = path[-1]
        time, doubtful = self._time(entry)
        steps = [is_completion(target, change) for target, change in pairwise(path)]
        return Held(
            entry=entry,
            first=root,
            known=self._known[entry.id],
            time=time,
            doubtful=doubtful,
            chain=chain,
            rivals=rivals,
            corrected=not all(steps),
            completed=bool(steps) and all(steps),
            written_late=root.recorded_at - root.at.instant > LATE_AFTER,
        )

    def _time(self, entry: Entry) -> tuple[Instant, bool]:
        known = self._known[entry.id]
        doubtful = self._is_to_come(entry) or entry.at.instant > known + DOUBTFUL_AFTER
        return (known if doubtful else entry.at.instant), doubtful

    def _is_to_come(self, entry: Entry) -> bool:
        return self._live_now is not None and entry.recorded_at > self._live_now

    def of(self, kind: str) -> Sequence[Held]:
        """The entries in force of a kind, in reading order."""
        return self._by_kind.get(kind, ())

    @property
    def shown(self) -> list[Held | Withdrawn]:
        """All that a person may look at: what is in force, then what was struck out."""
        return [*self.held, *self.withdrawn]

    def get(self, entry_id: str) -> Held | None:
        """What is in force of the chain that an id belongs to; None when it is struck out or not here."""
        return self._by_root.get(self._root.get(entry_id, entry_id))

    def known_from(self, entry_id: str) -> Instant:
        """When an entry became known: its `recorded_at`, for a change never before its target's."""
        return self._known[entry_id]

    def once(self, question: Callable[["Reading"], Answer]) -> Answer:
        """What a question answers that is about this reading alone: worked out when it is asked first."""
        if question not in self._answers:
            self._answers[question] = question(self)
        found: Answer = self._answers[question]
        return found

    @cached_property
    def _by_kind(self) -> dict[str, list[Held]]:
        found: dict[str, list[Held]] = defaultdict(list)
        for each in self.held:
            found[each.entry.kind].append(each)
        return found

    @cached_property
    def _by_root(self) -> dict[str, Held]:
        return {each.first.id: each for each in self.held}

    @cached_property
    def home(self) -> Home:
        """The home zone: the newest person's, else the first entry's that gives one, else UTC."""
        zones = [
            each.entry.details["home_zone"] for each in self.of("person") if "home_zone" in each.entry.details
        ]
        if zones:
            return Home(zones[-1])
        return Home(next((each.entry.zone for each in self.held if each.entry.zone), "UTC"))


def known_from(entries: dict[str, Entry], latest: Instant | None = None) -> dict[str, Instant]:
    """Each entry's known-from, `latest` at most; a ring of changes, never in force, keeps its own times."""
    known: dict[str, Instant] = {}
    for entry in entries.values():
        if not entry.amends:
            known[entry.id] = entry.recorded_at if latest is None else min(entry.recorded_at, latest)
            continue
        path, seen = [], set[str]()
        at: Entry | None = entry
        while at is not None and at.id not in known and at.id not in seen:
            seen.add(at.id)
            path.append(at)
            at = entries.get(at.amends) if at.amends else None
        for step in reversed(path):
            before = known.get(step.amends) if step.amends else None
            own = step.recorded_at if latest is None else min(step.recorded_at, latest)
            known[step.id] = own if before is None else max(own, before)
    return known


def _path(root: Entry, place: Entry, entries: dict[str, Entry]) -> list[Entry]:
    """The changes from a chain's first entry to the one that counts."""
    path = [place]
    while path[-1].id != root.id:
        target = path[-1].amends
        if target is None:
            break
        path.append(entries[target])
    return path[::-1]
