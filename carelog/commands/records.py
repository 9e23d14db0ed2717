"""The records that commands work on, and the exchange file's lines."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO, cast

from carelog.app.installation import installation_id
from carelog.app.ports import Exchange, Merged, PersonHeading, Record
from carelog.commands.surroundings import Surroundings
from carelog.domain.moment import Home
from carelog.domain.trouble import Trouble
from carelog.text import say


@contextmanager
def opened(path: Path, around: Surroundings) -> Iterator[Record]:
    """A record that is there; `Trouble` in plain words for one that isn't, or can't be read."""
    from carelog.store.opening import open_record

    record = open_record(path, installation=installation_id(around.places.installation))
    try:
        yield record
    finally:
        record.close()


@contextmanager
def made(path: Path, person: PersonHeading, around: Surroundings) -> Iterator[Record]:
    """A new record about this person, made by the first entry that is saved."""
    from carelog.store.opening import open_record

    record = open_record(path, installation=installation_id(around.places.installation), create=person)
    try:
        yield record
    finally:
        record.close()


@contextmanager
def made_if_missing(path: Path, around: Surroundings) -> Iterator[Record]:
    """A record; one that isn't there is made, whole, by the first entry that is saved, and that is said."""
    is_new = not os.path.lexists(path)
    with made(path, new_person(), around) as record:
        yield record
        if is_new and path.exists():
            around.warn(say("“{file}” is a new record.").format(file=path))


def new_person() -> PersonHeading:
    """Whom a new record is about, until an import or a person entry says more."""
    import uuid  # which imports much, and no other command needs it

    return PersonHeading(str(uuid.UUID(bytes=os.urandom(16), version=4)), "")


def home(record: Record) -> Home:
    """The record's home zone."""
    from carelog.analysis.home import home_of

    return home_of(record)


@contextmanager
def source_of(source: Path) -> Iterator[BinaryIO]:
    """A file to read from, or the exchange file in an archive; `Trouble` when it can't be opened or read."""
    from carelog.export.unpacked import exchange_file

    try:
        file = source.open("rb")
    except OSError as error:
        raise Trouble(
            say("“{file}” can't be read: {cause}.").format(file=source, cause=error.strerror)
        ) from error
    with file, exchange_file(file) as lines:
        yield lines


def merge(source: BinaryIO, path: Path, around: Surroundings) -> tuple[Merged, list[str]]:
    """Add an exchange file's entries, all or none, and say line by line what that did.

    A missing record is made only when they are added.
    """
    from carelog.app.merging import before_import, told

    with made(path, new_person(), around) as record:
        now = around.clock.now()
        before = before_import(record, now)
        merged = exchange().merge(source, record)
        return merged, told(record, before, now) if merged.added else []


def exchange() -> Exchange:
    """The exchange file in and out."""
    from carelog.store.exchange import StoredExchange

    return cast(Exchange, StoredExchange())
