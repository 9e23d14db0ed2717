"""The entries read of a long record, and which of them the rules follow.

What was read for the usual alone (`pass_by`) isn't followed: it is taken as it stood. Whatever a rule asks
for by name (`take`) is, and so is every chain of changes of which a part became known lately.
"""

from collections import Counter
from collections.abc import Callable, Iterable
from itertools import pairwise

from carelog.analysis.in_force import Held, Reading
from carelog.analysis.rules.rule import Said
from carelog.analysis.searches import Search, Searches
from carelog.domain.entry import Details, Entry
from carelog.domain.moment import DAY_24_H, Instant
from carelog.domain.record import Past
from carelog.kinds import named_or_unknown

A_MONTH = 30 * DAY_24_H
NEWEST = 8
"""Of what stands so many are asked for at first: the newest may have been changed since."""


class Excerpt:
    """What was read of a record so far."""

    def __init__(self, record: Past, begins: Instant) -> None:
        """`begins`: the oldest moment of the record."""
        self._record, self._begins, self._searches = record, begins, Searches(record)
        self.found: dict[str, Entry] = {}
        self._named: set[str] = set()

    @property
    def entries(self) -> list[Entry]:
        """What was read, in the order of (recorded_at, id)."""
        return sorted(self.found.values(), key=lambda entry: (entry.recorded_at, entry.id))

    def take(self, entries: Iterable[Entry]) -> None:
        """Take what a rule reads, however old it is."""
        new = {entry.id: entry for entry in entries}
        self.found.update(new)
        self._named.update(new)

    def pass_by(self, start: Instant, end: Instant, written: Instant, step_until: Instant) -> None:
        """Take what happened from `start` to `end`, and what was recorded from then until `written`.

        A month at a time until `step_until`: so the rows of one are let go before the next.
        """
        for early, late in pairwise([start, *range(start + A_MONTH, min(end, step_until), A_MONTH), end]):
            self.found.update((entry.id, entry) for entry in self._record.period(early, late))
        late_ones = self._record.written(start, written, before=start)
        self.found.update((entry.id, entry) for entry in late_ones)

    def followed(self, since: Instant) -> list[Entry]:
        """What the rules follow: all that happened or was recorded from a moment on; what they asked for."""
        kept = {each.id for each in self.found.values() if max(each.at.instant, each.recorded_at) >= since}
        kept |= self._named
        changes = [(each.id, each.amends) for each in self.found.values() if each.amends in self.found]
        while split := [pair for pair in changes if (pair[0] in kept) != (pair[1] in kept)]:
            kept.update(each for pair in split for each in pair if each is not None)
        return [entry for entry in self.found.values() if entry.id in kept]

    def foresee(self, wanted: Iterable[Search]) -> None:
        """Look in one pass for what will be asked for of all that was ever said."""
        self._searches.foresee(
            search
            for search in wanted
            if named_or_unknown(search[0].kind).is_frequent and self._begins < search[2]
        )

    def said(self, said: Said, since: Instant, before: Instant) -> None:
        """Take the entries of a frequent kind from before a moment."""
        if named_or_unknown(said.kind).is_frequent and self._begins < before and since < before:
            self.take(self._searches.since(said, since, before))

    def newest(self, said: Said, before: Instant, is_it: Callable[[Details], bool]) -> None:
        """The newest entry before a moment that is what is looked for, and that nobody has changed since.

        Of each thing, where what is looked for says that there are several.
        """
        depth = NEWEST
        while named_or_unknown(said.kind).is_frequent and self._begins < before:
            found = self._searches.newest(said, depth, before)
            self.take(found)
            counts = Counter(said.about(each.details) for each in found if said.says(each.details))
            here = {
                said.about(held.entry.details)
                for held in Reading(found).held
                if held.time < before and is_it(held.entry.details) and _was_so(held, before)
            }
            if all(count < depth or thing in here for thing, count in counts.items()):
                break
            depth *= 8

    def let_go(self) -> None:
        """Forget all of it."""
        self.found, self._named = {}, set()
        self._searches.let_go()


def _was_so(held: Held, before: Instant) -> bool:
    """Whether nobody has changed an entry since a moment, and its time isn't in doubt."""
    return not held.doubtful and all(each.recorded_at < before for each in held.chain)
