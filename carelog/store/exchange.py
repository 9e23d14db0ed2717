"""The exchange file in and out: all of a file's entries are added, or none."""

import gc
import io
import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import islice
from typing import NamedTuple

import sqlalchemy as sa

from carelog.domain.entry import Entry, line
from carelog.domain.moment import Instant, utc_text
from carelog.domain.record import Merged, PersonHeading
from carelog.domain.trouble import Refused
from carelog.kinds import kind_named
from carelog.store import reader
from carelog.store.fit import Misfit
from carelog.store.lines import (
    FORMAT,
    VERSION,
    Heading,
    LineRefused,
    Unnamed,
    lines_of,
    numbered,
    read_heading,
    read_line,
)
from carelog.store.record import StoredRecord, fit_of
from carelog.store.rows import Row, row_of
from carelog.store.writer import heading, put_heading
from carelog.text import say

Progress = Callable[[int], None]
IsCancelled = Callable[[], bool]

_AT_ONCE = 1000


class Numbered(NamedTuple):
    """A row and the line it came from."""

    number: int
    row: Row


class Checked(NamedTuple):
    """Rows that fitted when `last` was the newest place in the order of arrival."""

    last: int
    new: list[Row]


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
            self.unknown_fields += len(kind.unknown(entry.details))


class Exchange:
    """Reads exchange files into a record and writes them."""

    def merge(
        self,
        lines: Iterable[bytes],
        record: object,
        progress: Progress | None = None,
        is_cancelled: IsCancelled | None = None,
    ) -> Merged:
        """Add all entries of an exchange file or none; `Refused` with the number of the first line at fault.

        The whole file is checked before anything is written; `progress` hears how many lines were checked.
        """
        with _uncollected():
            return merge(
                lines, _stored(record), progress or (lambda _count: None), is_cancelled or (lambda: False)
            )

    def write(self, record: object, entries: Iterable[Entry], written_at: Instant) -> Iterator[bytes]:
        """The exchange file's lines, heading first; the same entries make the same lines after it."""
        yield heading_line(_stored(record).person(), written_at)
        for entry in sorted(entries, key=lambda entry: (entry.recorded_at, entry.id)):
            yield f"{line(entry)}\n".encode()


@contextmanager
def _uncollected() -> Iterator[None]:
    """Let nobody look for garbage: an import makes much that lasts and no rings (a fifth of its time)."""
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


def heading_line(person: PersonHeading, written_at: Instant) -> bytes:
    """The first line of an exchange file."""
    found = {
        "format": FORMAT,
        "version": VERSION,
        "person": {"id": person.id, "name": person.name},
        "written_at": utc_text(written_at),
    }
    return f"{json.dumps(found, ensure_ascii=False)}\n".encode()


def merge(
    lines: Iterable[bytes], record: StoredRecord, progress: Progress, is_cancelled: IsCancelled
) -> Merged:
    """See `Exchange.merge`."""
    numbers = numbered(lines_of(lines) if isinstance(lines, io.BufferedIOBase) else lines)
    first = _heading(numbers)
    record.read(lambda connection: _check_person(connection, first))
    counted = Counted()
    rows: list[Numbered] = []
    for batch in _batches(_entries(numbers, counted)):
        _go_on(is_cancelled)
        rows += batch
        progress(len(rows))
    checked = record.read(lambda connection: _judged(connection, rows, is_cancelled))
    if checked.new or checked.last == 0:
        record.write(lambda connection: _add(connection, record, first, rows, checked, is_cancelled))
    added = len(checked.new)
    return Merged(added, len(rows) - added, counted.unknown_kinds, counted.unknown_fields)


def _heading(numbers: Iterator[tuple[int, bytes]]) -> Heading:
    number, text = next(numbers, (1, b"{}"))
    try:
        return read_heading(text)
    except Refused as error:
        raise LineRefused(number, error.sentence) from None


def _entries(numbers: Iterator[tuple[int, bytes]], counted: Counted) -> Iterator[Numbered]:
    unnamed = Unnamed()
    for number, text in numbers:
        try:
            given = read_line(text)
        except Refused as error:
            raise LineRefused(number, error.sentence) from None
        counted.see(given.entry)
        yield Numbered(number, row_of(given.entry if given.has_id else unnamed.named(given.entry)))


def _batches(rows: Iterator[Numbered]) -> Iterator[list[Numbered]]:
    while batch := list(islice(rows, _AT_ONCE)):
        yield batch


def _go_on(is_cancelled: IsCancelled) -> None:
    if is_cancelled():
        raise Refused(say("The import was stopped. Nothing was added."))


def _judged(connection: sa.Connection, rows: Sequence[Numbered], is_cancelled: IsCancelled) -> Checked:
    """The rows that aren't here yet; `LineRefused` for the first that doesn't fit what is here."""
    fit = fit_of(connection)
    new: list[Row] = []
    for start in range(0, len(rows), _AT_ONCE):
        _go_on(is_cancelled)
        batch = rows[start : start + _AT_ONCE]
        try:
            new += fit.new([each.row for each in batch])
        except Misfit as error:
            number = next(each.number for each in batch if each.row is error.row)
            raise LineRefused(number, error.sentence) from None
    return Checked(reader.number(connection, reader.LAST_ARRIVAL), new)


def _check_person(connection: sa.Connection, first: Heading) -> None:
    if first.person is None or _is_empty(connection):
        return
    if first.person.id != heading(connection).id:
        raise LineRefused(1, say("this file is about another person. Nothing of it was added."))


def _is_empty(connection: sa.Connection) -> bool:
    return reader.number(connection, reader.LAST_ARRIVAL) == 0


def _add(
    connection: sa.Connection,
    record: StoredRecord,
    first: Heading,
    rows: Sequence[Numbered],
    checked: Checked,
    is_cancelled: IsCancelled,
) -> None:
    """Add what isn't here yet; judged again when others have written since it was checked."""
    _check_person(connection, first)
    if reader.number(connection, reader.LAST_ARRIVAL) != checked.last:
        checked.new[:] = _judged(connection, rows, is_cancelled).new
    if first.person is not None and _is_empty(connection):
        put_heading(connection, first.person)
    record.add(connection, checked.new, lambda _count: _go_on(is_cancelled))
