"""The check code of a sheet: what it is taken over, and which state of the record a typed one is of.

A code holds no time of its own. So the states that the record went through are looked at, one after another,
for the days that a sheet may be of: in the order in which its entries were recorded, or that in which they
arrived here, where some came later from another computer.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from carelog.analysis.cuff import TUBE
from carelog.analysis.in_force import Held, Reading, known_from
from carelog.analysis.period import Period, period
from carelog.analysis.plans import in_force, plans
from carelog.analysis.tube import tube_in_place
from carelog.domain.entry import Entry, content_hash, paper_mark
from carelog.domain.moment import Home, Instant
from carelog.domain.plan import Plan
from carelog.kinds.contact import CONTACT
from carelog.kinds.person import PERSON
from carelog.kinds.plan import PLAN

HEADING = (PERSON.name, CONTACT.name, PLAN.name, *TUBE)
"""The kinds that settle what a sheet's heading shows."""
DIGITS = 16


def plans_of(ordered: Sequence[Plan], span: Period) -> list[Plan]:
    """The plans, of all in order, that were in force at some moment of a period."""
    found = [plan for plan in ordered if span.start < plan.since < span.judged]
    first = in_force(ordered, span.start)
    return [*([first] if first else []), *found]


def heading_of(reading: Reading, ordered: Sequence[Plan], span: Period) -> tuple[Held, ...]:
    """The entries that a sheet's heading shows: the person, the contacts, the plans of the days, the tube."""
    used = {plan.entry for plan in plans_of(ordered, span)}
    tube = tube_in_place(reading, span.judged)
    return (
        *reading.of(PERSON.name),
        *reading.of(CONTACT.name),
        *(held for held in reading.of(PLAN.name) if held.entry.id in used),
        *((tube,) if tube else ()),
    )


def code_over(span: Period, heading: Iterable[Held], by_id: Mapping[str, Entry]) -> str:
    """The code over a period's entries and its heading's, with the whole chains of changes they belong to."""
    wanted = {entry.id for entry in by_id.values() if span.start <= entry.at.instant < span.end}
    wanted |= {each.id for held in heading for each in held.chain}
    return paper_mark(content_hash(by_id[each]) for each in with_chains(wanted, by_id) if each in by_id)


def with_chains(wanted: Collection[str], by_id: Mapping[str, Entry]) -> set[str]:
    """These entries and all that change them or are changed by them."""
    children: dict[str, list[str]] = {}
    for entry in by_id.values():
        if entry.amends:
            children.setdefault(entry.amends, []).append(entry.id)
    todo, found = list(wanted), set(wanted)
    while todo:
        each = todo.pop()
        target = by_id[each].amends if each in by_id else None
        for other in (*children.get(each, ()), *([target] if target else ())):
            if other in by_id and other not in found:
                found.add(other)
                todo.append(other)
    return found


def read_code(typed: str) -> str | None:
    """A code as it was typed, in fours; None for what can't be one."""
    digits = "".join(typed.split()).replace("-", "").lower()
    if len(digits) != DIGITS or not all(each in "0123456789abcdef" for each in digits):
        return None
    return " ".join(digits[place : place + 4] for place in range(0, DIGITS, 4))


@dataclass(frozen=True, slots=True)
class CheckedSheet:
    """Which sheet a code is of: its days, and what has changed since.

    `changed` are the entries that were written or changed since, by the ids of their first versions.
    """

    days: tuple[date, ...]
    changed: tuple[str, ...]


class CodeBook:
    """The states of a record, as far as the codes of its sheets tell them apart."""

    def __init__(self, entries: Iterable[Entry], home: Home, places: Mapping[str, int] | None = None) -> None:
        """`entries` are those of all days asked for, and all of the kinds in `HEADING`, with their chains.

        `places` are theirs in another order than that in which they were recorded; none: before all others.
        """
        self._home = home
        self._by_id = {entry.id: entry for entry in entries}
        self._recorded = known_from(self._by_id)
        self._places = self._recorded if places is None else {n: places.get(n, 0) for n in self._by_id}
        self._hashes: dict[str, str] = {}
        self._heading = [entry for entry in self._by_id.values() if entry.kind in HEADING]
        self._readings: dict[int, Reading] = {}
        self._root = {name: self._root_of(name) for name in self._by_id}
        self._members: dict[str, list[str]] = {}
        for name, root in self._root.items():
            self._members.setdefault(root, []).append(name)

    def _root_of(self, name: str) -> str:
        seen = {name}
        while (target := self._by_id[name].amends) in self._by_id and target not in seen:
            assert target is not None
            name = target
            seen.add(name)
        return name

    def find(self, code: str, days: Sequence[date], *, has_later_days: bool = False) -> CheckedSheet | None:
        """The newest state of these days that has the code; None: there was none.

        A sheet is made on its last day or later; `has_later_days`: one of an unfinished week may be older.
        """
        start, end = self._home.start_of(days[0]), self._home.end_of(days[-1])
        since = start if has_later_days else self._home.start_of(days[-1])
        inside = self._inside(start, end)
        names = {name for root in inside for name in self._members[root]}
        names |= {entry.id for entry in self._heading}
        first = min((self._places[name] for name in names if self._recorded[name] >= since), default=0)
        ordered = sorted({self._places[name] for name in names})
        older = [place for place in ordered if place < first][-1:]
        for place in reversed([*older, *(each for each in ordered if each >= first)]):
            for heading in self._headings(days, place, ordered):
                roots = {root for root, begun in inside.items() if begun <= place} | heading
                if self._code(roots, place) == code:
                    return CheckedSheet(tuple(days), self._changed({*inside, *heading}, place))
        return None

    def _inside(self, start: Instant, end: Instant) -> dict[str, int]:
        """The chains that touch a period, and from which state on each does."""
        found: dict[str, int] = {}
        for name, entry in self._by_id.items():
            if start <= entry.at.instant < end:
                root = self._root[name]
                found[root] = min(found.get(root, self._places[name]), self._places[name])
        return found

    def _headings(self, days: Sequence[date], place: int, places: Sequence[int]) -> Iterator[set[str]]:
        """The chains in the heading of a sheet made just then, and of one made just before the next state."""
        reading = self._heading_at(place)
        ordered, found = plans(reading), list[set[str]]()
        begun = self._time_of(place)
        following = next((self._time_of(each) for each in places if each > place), None)
        for past in (begun, None if following is None else following - 1):
            heading = heading_of(reading, ordered, period(reading, days, begun, past))
            roots = {self._root[each.id] for held in heading for each in held.chain}
            if roots not in found:
                found.append(roots)
                yield roots

    def _time_of(self, place: int) -> Instant:
        """When the entries at a place were recorded."""
        if self._places is self._recorded:
            return place
        return max((self._recorded[name] for name, own in self._places.items() if own == place), default=0)

    def _heading_at(self, place: int) -> Reading:
        """What the heading may show in a state; the same until one of these entries is added."""
        known = [entry for entry in self._heading if self._places[entry.id] <= place]
        if len(known) not in self._readings:
            self._readings[len(known)] = Reading(known)
        return self._readings[len(known)]

    def _code(self, roots: Iterable[str], place: int) -> str:
        names = (name for root in roots for name in self._members[root] if self._places[name] <= place)
        return paper_mark(self._hash(name) for name in names)

    def _hash(self, name: str) -> str:
        if name not in self._hashes:
            self._hashes[name] = content_hash(self._by_id[name])
        return self._hashes[name]

    def _changed(self, roots: Iterable[str], place: int) -> tuple[str, ...]:
        changed = (root for root in roots if any(self._places[each] > place for each in self._members[root]))
        return tuple(sorted(changed, key=lambda root: (self._by_id[root].at.instant, root)))
