"""Chains of changes drawn at random, and what is in force written down once more, naively."""

from collections.abc import Iterable

from hypothesis import strategies as st

from carelog.domain.entry import Entry
from carelog.domain.moment import MINUTE, Instant, Moment

IDS = [f"00000000-0000-4000-8000-{n:012}" for n in range(12)]
BEGIN = Moment.read("2026-10-24T20:00:00Z").instant


@st.composite
def tangles(draw: st.DrawFn) -> list[Entry]:
    """Up to twelve entries of two kinds that change one another in any way, rings included, in any order."""
    count = draw(st.integers(1, len(IDS)))
    found = []
    for place in range(count):
        amends = draw(st.none() | st.sampled_from(IDS[:count]))
        withdrawn = amends is not None and draw(st.booleans())
        at = BEGIN + draw(st.integers(0, 600)) * MINUTE
        found.append(
            Entry(
                id=IDS[place],
                kind=draw(st.sampled_from(["suction", "suction", "suction", "ties"])),
                at=Moment(at, draw(st.sampled_from([0, 60]))),
                recorded_at=BEGIN + draw(st.integers(0, 600)) * MINUTE,
                by=draw(st.sampled_from(["", "AB"])),
                details={} if withdrawn else draw(st.dictionaries(st.sampled_from("abc"), st.integers(0, 1))),
                amends=amends,
                reason="a slip" if withdrawn else "",
                withdrawn=withdrawn,
            )
        )
    return draw(st.permutations(found))


class Naive:
    """What is in force as it is worded, with no thought for speed."""

    def __init__(self, entries: Iterable[Entry], known_by: Instant | None = None) -> None:
        self.all = {e.id: e for e in entries}
        self.here = {i: e for i, e in self.all.items() if known_by is None or self.known(e) <= known_by}

    def known(self, entry: Entry) -> Instant:
        """`recorded_at`; for a change never before its target's."""
        found, seen = entry.recorded_at, {entry.id}
        while entry.amends in self.all and entry.amends not in seen:
            entry = self.all[entry.amends]
            seen.add(entry.id)
            found = max(found, entry.recorded_at)
        return found

    def changes(self, entry: Entry) -> list[Entry]:
        """The changes of it that fit."""
        return [e for e in self.here.values() if e.amends == entry.id and e.kind == entry.kind]

    def sides(self, entry: Entry) -> list[Entry]:
        """The changes of it that aren't struck."""
        return [e for e in self.changes(entry) if not (self.sides(e) and self.place(e).withdrawn)]

    def place(self, entry: Entry) -> Entry:
        """Itself, or the place of the winning side."""
        places = [self.place(side) for side in self.sides(entry)]
        return max(places, key=lambda e: (e.recorded_at, e.id), default=entry)

    def in_force(self) -> set[str]:
        """The ids of the entries in force."""
        first = [self.place(e) for e in self.here.values() if e.amends is None]
        return {e.id for e in first if not e.withdrawn}
