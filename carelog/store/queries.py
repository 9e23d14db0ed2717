"""What a record is asked: each question one reading of one moment of the file."""

from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from functools import partial
from typing import TypeVar

from carelog.domain.entry import Entry, Json
from carelog.domain.moment import Instant
from carelog.domain.record import FAR, Arrival, PersonHeading, Saying, Sought
from carelog.store import holding, reader, search
from carelog.store.readings import Connection, one_value
from carelog.store.rows import entry_of
from carelog.store.writer import heading

AT_ONCE = 5000
Result = TypeVar("Result")
Job = Callable[[Connection], Result]


class Queries(ABC):
    """The questions; how the file is opened, read, written and checked is the business of `StoredRecord`."""

    @abstractmethod
    def read(self, job: Job[Result]) -> Result:
        """Read in one moment of the file; the job may be done twice."""

    @abstractmethod
    def made_of(self, rows: Sequence[reader.Found]) -> list[Entry]:
        """The entries of rows that were read; `Damaged` where one of them isn't what was written."""

    def person(self) -> PersonHeading:
        """Whom the record is about."""
        return self.read(heading)

    def everything(self, step: Callable[[], None] = lambda: None) -> list[Entry]:
        """All entries; `step` is called now and then, and may stop it.

        Read a slice at a time, so that who saves meanwhile never waits for the whole of a long record; since
        entries only ever come behind, they are those of one moment all the same.
        """
        last, found = self.last_arrival(), list[Entry]()
        for start in range(0, last, AT_ONCE):
            step()
            found += self._entries(partial(reader.between, start=start, end=min(start + AT_ONCE, last)))
        return sorted(found, key=lambda entry: (entry.recorded_at, entry.id))

    def period(self, start: Instant, end: Instant) -> list[Entry]:
        """Entries whose `at` lies in [start, end), and the whole chains of changes they belong to."""
        return self._entries(lambda connection: reader.period(connection, start, end))

    def newest(self, kind: str, count: int, before: Instant = FAR) -> list[Entry]:
        """The newest entries of a kind by `at` (before an instant), and their whole chains."""
        return self._entries(lambda connection: reader.newest(connection, kind, count, before))

    def saying(
        self,
        kind: str,
        field: str,
        values: Sequence[Json] | None = None,
        count: int = FAR,
        since: Instant = -FAR,
        before: Instant = FAR,
        each: Sequence[str] = (),
    ) -> list[Entry]:
        """The newest entries of a kind that give a field (one of these values), and their whole chains.

        `since`: only those that happened, or were recorded, from then on; `values`, `each`: as in `Saying`.
        """
        one_of = None if values is None else tuple(values)
        sought = Saying(kind, field, one_of, count, before, tuple(each))
        return self._entries(lambda connection: search.saying(connection, sought, since))

    def sayings(self, sought: Sequence[Saying]) -> list[list[Entry]]:
        """What `saying` finds of each of these, in one pass over the entries of their kinds.

        Of several kinds a slice at a time, as `everything`: what comes meanwhile isn't looked for.
        """
        kinds = {each.kind for each in sought}
        if len(kinds) <= 1:
            found = self.read(lambda connection: search.sayings(connection, sought))
        else:
            look, before = search.Look(sought), max(each.before for each in sought)
            for end in range(self.last_arrival(), 0, -AT_ONCE):
                slice_of = partial(search.told, kinds=kinds, before=before, start=end - AT_ONCE, end=end)
                look.through(self.read(slice_of))
            found = self.read(lambda connection: search.found_by(connection, look.searches))
        return [self.made_of(each) for each in found]

    def written(self, start: Instant, end: Instant, before: Instant = FAR) -> list[Entry]:
        """Entries recorded in [start, end), and the whole chains of changes they belong to.

        `before`: only those that happened before it.
        """
        return self._entries(lambda connection: reader.written(connection, start, end, before))

    def ahead(self, of: Instant) -> list[Entry]:
        """Entries recorded before an instant that say they happened then or later, and their chains."""
        return self._entries(lambda connection: reader.ahead(connection, of))

    def zoned(self, count: int) -> list[Entry]:
        """The oldest entries by `at` that name a zone, and the whole chains of changes they belong to."""
        return self._entries(lambda connection: reader.zoned(connection, count))

    def last_written(self, before: Instant = FAR, by: str | None = None) -> Entry | None:
        """The entry with the newest `recorded_at` (before an instant, by somebody); None: there is none."""
        return next(iter(self._entries(lambda connection: reader.last_written(connection, before, by))), None)

    def begins(self) -> Instant:
        """The oldest moment that anything here happened or was recorded at; `FAR` for an empty record."""
        found = self.read(lambda connection: one_value(connection, reader.BEGINS))
        return FAR if found is None else int(found)

    def of_kinds(self, kinds: Sequence[str]) -> list[Entry]:
        """All entries of some kinds, and their whole chains."""
        return self._entries(lambda connection: reader.of_kinds(connection, kinds))

    def forked(self) -> list[Entry]:
        """The chains in which two or more changes want to change one and the same entry."""
        return self._entries(reader.forked)

    def holding(self, words: Sequence[Sought], kinds: Sequence[str] = ()) -> list[str]:
        """The ids of entries that may say all the words (of these kinds, if any are named), newest first."""
        return self.read(lambda connection: holding.ids(connection, words, kinds))

    def chain(self, ids: Sequence[str]) -> list[Entry]:
        """The whole chains of changes that some entries belong to; unknown ids are passed over."""
        return self._entries(lambda connection: reader.chain(connection, ids))

    def arrived(self, after: Arrival) -> list[tuple[Arrival, Entry]]:
        """Entries by order of arrival at this file, after a given one (0: from the first)."""
        return self.read(
            lambda connection: [(row[13], entry_of(row)) for row in reader.arrived(connection, after)]
        )

    def last_arrival(self) -> Arrival:
        """The newest entry's place in the order of arrival; 0 for an empty record."""
        return self.read(lambda connection: reader.number(connection, reader.LAST_ARRIVAL))

    def count(self) -> int:
        """How many entries there are."""
        return self.read(lambda connection: reader.number(connection, "SELECT count(*) FROM entry"))

    def _entries(self, job: Job[list[reader.Found]]) -> list[Entry]:
        return self.made_of(self.read(job))  # the file isn't held any more: this may give way
