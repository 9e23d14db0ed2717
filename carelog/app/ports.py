"""The ports of the program: what an open record, a clock and a source of ids must offer."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import Protocol

from carelog.domain.entry import Entry
from carelog.domain.moment import Instant
from carelog.domain.paper import FindFlags, IsCancelled, Progress, Sheet, SheetRequest, Usual
from carelog.domain.record import FAR, Arrival, Damage, Merged, Past, PersonHeading, Sought

__all__ = [
    "FAR",
    "Arrival",
    "Clock",
    "Damage",
    "Exchange",
    "Ids",
    "Merged",
    "PersonHeading",
    "Record",
    "Sheets",
]

Ids = Callable[[Instant], str]


class Clock(Protocol):
    """The computer's clock and zone."""

    def now(self) -> Instant:
        """The present instant."""

    def zone(self) -> str:
        """The computer's zone as an IANA name, or empty."""


class Record(Past, Protocol):
    """An open record: entries are only ever added; every list is in the order of (recorded_at, id)."""

    path: Path

    def person(self) -> PersonHeading:
        """Whom the record is about."""

    def everything(self, step: Callable[[], None] = ...) -> list[Entry]:
        """All entries; `step` is called now and then, and may stop it."""

    def forked(self) -> list[Entry]:
        """The chains in which two or more changes want to change one and the same entry."""

    def holding(self, words: Sequence[Sought], kinds: Sequence[str] = ()) -> list[str]:
        """The ids of entries that may say all the words (of these kinds, if any are named), newest first."""

    def chain(self, ids: Sequence[str]) -> list[Entry]:
        """The whole chains of changes that some entries belong to; unknown ids are passed over."""

    def arrived(self, after: Arrival) -> list[tuple[Arrival, Entry]]:
        """Entries by order of arrival at this file, after a given one (0: from the first)."""

    def last_arrival(self) -> Arrival:
        """The newest entry's place in the order of arrival; 0 for an empty record."""

    def append(self, entries: Sequence[Entry]) -> None:
        """Add entries in one durable transaction: all or none; `Trouble` when the disk doesn't take them.

        The same id with the same content is skipped; with other content it is `Refused`.
        """

    def get_ready(self) -> None:
        """Do now what the first write would wait for; a reading does without."""

    def changed(self) -> bool:
        """Whether another process has written since the last time this was asked."""

    def quick_check(self) -> list[Damage]:
        """What is wrong with the file, quickly told; with damage nothing is written any more."""

    def check(self) -> list[Damage]:
        """Everything that is wrong with the record; empty when it is sound."""

    def close(self) -> None:
        """Let go of the file."""


class Exchange(Protocol):
    """The exchange file in and out."""

    def merge(
        self,
        lines: Iterable[bytes],
        record: Record,
        progress: Callable[[int], None] | None = None,
        is_cancelled: Callable[[], bool] | None = None,
    ) -> Merged:
        """Read an exchange file's lines and add all its entries or none; `Refused` with the line's number."""

    def write(self, record: Record, entries: Iterable[Entry], written_at: Instant) -> Iterator[bytes]:
        """The exchange file's lines, heading first."""


class Sheets(Protocol):
    """Sheets for paper: same input, same bytes."""

    def offered(self) -> Sequence[Sheet]:
        """The sheets that are built."""

    def days(self, request: SheetRequest) -> list[date]:
        """The days that a sheet is of; `WrongUse` when the request means nothing."""

    def make(
        self,
        request: SheetRequest,
        entries: Sequence[Entry],
        name: str = "",
        *,
        progress: Progress | None = None,
        is_cancelled: IsCancelled | None = None,
        find_flags: FindFlags | None = None,
        usual: Usual | None = None,
    ) -> bytes:
        """A sheet as PDF or page from the record's entries; `name` is the record's own for the person.

        `progress` is told each new page's number; `Cancelled` when somebody stopped it.
        """
