"""The exchange file in and out: all of a file's entries are added, or none."""

import gc
import io
import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from itertools import compress

from carelog.analysis import people
from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry, line
from carelog.domain.moment import Instant, utc_text
from carelog.domain.record import Merged, PersonHeading
from carelog.domain.trouble import Refused
from carelog.kinds import ALL, kind_named
from carelog.kinds.person import PERSON
from carelog.store import reader
from carelog.store.errors import plain
from carelog.store.fit import Fit, Misfit
from carelog.store.lines import (
    FORMAT,
    VERSION,
    FileHeading,
    LineRefused,
    OtherLineRefused,
    Unnamed,
    lines_of,
    numbered,
    read_heading,
    read_line,
)
from carelog.store.readings import Connection
from carelog.store.record import StoredRecord, fit_of
from carelog.store.rows import row_of
from carelog.store.spool import Numbered, Spool
from carelog.store.writer import heading, put_heading
from carelog.text import say

Progress = Callable[[int], None]
IsCancelled = Callable[[], bool]

_AT_ONCE = 1000
_RECORD = b"SQLite format 3\0"  # how a record begins
_FIELDS = {kind.name: frozenset(field.name for field in kind.fields) for kind in ALL}


class Counted:
    """What an import counts while it reads."""

    def __init__(self) -> None:
        self.unknown_kinds = 0
        self.unknown_fields = 0

    def see(self, entry: Entry) -> None:
        """Count what of an entry this version doesn't know; it is kept and shown as it is."""
        kind = kind_named(entry.kind)
        if kind is None:
            self.unknown_kinds += 1
        elif entry.details:
            self.unknown_fields += len(entry.details.keys() - _FIELDS[kind.name])


class StoredExchange:
    """Reads exchange files into a record and writes them."""

    def merge(
        self,
        lines: Iterable[bytes],
        record: object,
        progress: Progress | None = None,
        is_cancelled: IsCancelled | None = None,
    ) -> Merged:
        """Add all entries of an exchange file or none; `Refused` with the number of the first line at fault.

        Every line is read and checked before anything is written; `progress` hears how many were read.
        """
        with uncollected():
            told, asked = progress or (lambda _count: None), is_cancelled or (lambda: False)
            return Import(lines, _stored(record), told, asked).run()

    def write(self, record: object, entries: Iterable[Entry], written_at: Instant) -> Iterator[bytes]:
        """The exchange file's lines, heading first; the same entries make the same lines after it."""
        yield heading_line(_named(_stored(record)), written_at)
        for entry in sorted(entries, key=lambda entry: (entry.recorded_at, entry.id)):
            yield f"{line(entry)}\n".encode()


@contextmanager
def uncollected() -> Iterator[None]:
    """Let nobody look for garbage: an import makes much that lasts, an export little, neither makes rings."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _stored(record: object) -> StoredRecord:
    """The port's record is always the store's own; anything else is a mistake in the program."""
    if not isinstance(record, StoredRecord):
        raise TypeError(type(record).__name__)
    return record


def _named(record: StoredRecord) -> PersonHeading:
    """Whom a record is about, by the name that a person entry gives, else by the one it came with."""
    heading = record.person()
    name = people.person(Reading(record.of_kinds([PERSON.name]))).name
    return PersonHeading(heading.id, heading.name if name is None else name)


def _shown(person: PersonHeading) -> str:
    """A person's name, and as many digits of the id as tell two of one name apart."""
    return f"{person.name or say('somebody without a name')} ({person.id[:8]})"


def heading_line(person: PersonHeading, written_at: Instant) -> bytes:
    """The first line of an exchange file."""
    found = {
        "format": FORMAT,
        "version": VERSION,
        "person": {"id": person.id, "name": person.name},
        "written_at": utc_text(written_at),
    }
    return f"{json.dumps(found, ensure_ascii=False)}\n".encode()


class Import:
    """One exchange file on its way into a record."""

    def __init__(
        self, lines: Iterable[bytes], record: StoredRecord, progress: Progress, is_cancelled: IsCancelled
    ) -> None:
        self._numbers = numbered(lines_of(lines) if isinstance(lines, io.BufferedIOBase) else lines)
        self._record = record
        self._progress = progress
        self._is_cancelled = is_cancelled
        self._counted = Counted()
        self._heading_at = 1
        self._added = 0

    def run(self) -> Merged:
        """See `Exchange.merge`."""
        first = self._heading()
        self._record.read(lambda connection: self._check_person(connection, first))
        with plain(self._record.path), closing(Spool()) as spool:
            self._read_into(spool)
            if self._record.read(lambda connection: self._has_more(connection, spool)):
                self._record.write(lambda connection: self._add(connection, spool, first))
            there = len(spool) - self._added
        return Merged(self._added, there, self._counted.unknown_kinds, self._counted.unknown_fields)

    def _heading(self) -> FileHeading:
        self._heading_at, text = next(self._numbers, (1, b"{}"))
        if text.startswith(_RECORD):
            raise Refused(say("This is a record, not an exchange file. Open it, and export from there."))
        try:
            return read_heading(text)
        except Refused as error:
            raise LineRefused(self._heading_at, error.sentence) from None

    def _read_into(self, spool: Spool) -> None:
        unnamed = Unnamed()
        for number, text in self._numbers:
            try:
                given = read_line(text)
                row = row_of(given.entry if given.has_id else unnamed.named(given.entry))
            except Refused as error:
                raise LineRefused(number, error.sentence) from None
            self._counted.see(given.entry)
            spool.add(Numbered(number, row))
            if len(spool) % _AT_ONCE == 0:
                self._go_on(len(spool))
        self._go_on(len(spool))

    def _go_on(self, count: int) -> None:
        if self._is_cancelled():
            raise Refused(say("The import was stopped. Nothing was added."))
        self._progress(count)

    def _has_more(self, connection: Connection, spool: Spool) -> bool:
        """Whether anything isn't here yet; a record that isn't made yet is made by nothing, too."""
        if _is_empty(connection):
            return True
        fit = fit_of(connection)
        return any(any(self._judged(fit, batch)) for batch in spool.batches())

    def _judged(self, fit: Fit, batch: Sequence[Numbered]) -> list[bool]:
        """Which rows aren't here yet; `LineRefused` for the first that doesn't fit what is."""
        try:
            return fit.are_new([each.row for each in batch])
        except Misfit as error:
            number = next(each.number for each in batch if each.row is error.row)
            raise LineRefused(number, error.sentence) from None

    def _add(self, connection: Connection, spool: Spool, first: FileHeading) -> None:
        """Add what isn't here yet, each batch judged against the record with those before it in it.

        So a file of any length takes no more memory; one that is refused half-way is taken back whole.
        """
        self._added = 0
        self._check_person(connection, first)
        if first.person is not None and _is_empty(connection):
            put_heading(connection, first.person)
        fit = fit_of(connection)
        for batch in spool.batches():
            self._go_on(len(spool))
            rows = [each.row for each in compress(batch, self._judged(fit, batch))]
            self._record.add(connection, rows)
            self._added += len(rows)

    def _check_person(self, connection: Connection, first: FileHeading) -> None:
        if first.person is None or _is_empty(connection):
            return
        if first.person.id != heading(connection).id:
            words = say(
                "this file is about {other}, and this record about {name}, who is another person. "
                "Nothing of it was added."
            )
            here = _named(self._record)
            sentence = words.format(other=_shown(first.person), name=_shown(here))
            raise OtherLineRefused(self._heading_at, sentence)


def _is_empty(connection: Connection) -> bool:
    return reader.number(connection, reader.LAST_ARRIVAL) == 0
