"""A logbook on a real record in a folder of the test, with a clock that is set by hand."""

from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from carelog.analysis.in_force import Held, Reading
from carelog.app.logbook import Logbook
from carelog.app.ports import PersonHeading
from carelog.domain.entry import Entry, new_id
from carelog.domain.moment import Instant, Moment
from carelog.store.opening import open_record
from carelog.store.record import StoredRecord

START = Moment.read("2026-11-22T03:10:00+00:00").instant


@dataclass
class Hand:
    """A clock that is set by hand."""

    instant: Instant = START
    name: str = "Europe/London"

    def now(self) -> Instant:
        return self.instant

    def zone(self) -> str:
        return self.name


@dataclass
class Ids:
    """Ids that are told apart by a number."""

    last: int = 0

    def __call__(self, now: Instant) -> str:
        self.last += 1
        return new_id(now, self.last.to_bytes(10, "big"))


@dataclass
class Desk:
    """A record, its logbook, and what the logbook told."""

    record: StoredRecord
    clock: Hand = field(default_factory=Hand)
    told: list[list[Entry]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.ids = Ids()
        self.book = Logbook(
            self.record, self.clock, self.ids, lambda entries: self.told.append(list(entries))
        )

    def held(self, entry: Entry) -> Held:
        """What is in force of an entry's chain."""
        found = self.reading().get(entry.id)
        assert found is not None
        return found

    def reading(self) -> Reading:
        """The whole record, read."""
        return Reading(self.record.everything())


@contextmanager
def desk_in(folder: Path) -> Iterator[Desk]:
    """A desk with a new record, which is closed when nobody works at it any more."""
    person = PersonHeading("5f6f4e0a-9d52-4a0a-8d6c-0d1f6d0b7c11", "Odette Farrow")
    with closing(open_record(folder / "r.carelog", installation="here", create=person)) as record:
        yield Desk(record)
