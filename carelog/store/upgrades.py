"""Bringing a record of an older version up to this one: a copy first, the original kept, then all at once."""

import contextlib
import os
from pathlib import Path
from typing import TYPE_CHECKING

from carelog import paths
from carelog.domain.trouble import Trouble
from carelog.store import engine, reader, soundness
from carelog.store.birth import placed, sync
from carelog.store.errors import DAMAGED, Damaged, plain
from carelog.store.readings import Connection, one_value
from carelog.store.tables import VERSION, steps
from carelog.text import say

if TYPE_CHECKING:
    from carelog.store.record import StoredRecord

_VERSION = "PRAGMA user_version"
_COUNT = "SELECT count(*) FROM entry"


def bring_up(record: "StoredRecord") -> None:
    """Upgrade an open record; what fails leaves it as it was, to be written to as before.

    First the file is kept under another name, as it is; then a private copy is upgraded and checked whole;
    only then the record itself, in one transaction that also says its new version.
    """
    try:
        version = record.read(lambda connection: reader.number(connection, _VERSION))
        if version >= VERSION:
            return
        _keep(record, version)
        with plain(record.path), paths.scratch() as folder:
            copy = folder / record.path.name
            paths.touch_private(copy)
            record.copy_into(copy)
            bring_file_up(copy, record.connect)
            if _is_unsound(copy, record.connect):
                return
        record.upgrade(_apply)
    except Trouble:
        return


def bring_file_up(file: Path, connect: engine.Connect) -> None:
    """Upgrade a file that nobody else has open, in one transaction."""
    writes = engine.writing(file, connect)
    try:
        with writes.begin() as connection:
            _apply(connection)
    finally:
        writes.dispose()


def _apply(connection: Connection) -> None:
    version = reader.number(connection, _VERSION)
    if not 1 <= version < VERSION:
        return
    before = _entries(connection)
    for statement in steps(version):
        connection.exec_driver_sql(statement)
    if soundness.shape(connection) or _entries(connection) != before:
        raise Damaged(say(DAMAGED).format(name=""))


def _entries(connection: Connection) -> tuple[int, str | None]:
    """How many entries there are, and the newest one's hash."""
    newest = "SELECT content_hash FROM entry ORDER BY arrival DESC LIMIT 1"
    return reader.number(connection, _COUNT), one_value(connection, newest)


def _keep(record: "StoredRecord", version: int) -> None:
    """A copy of the record as it is, beside it; one that an earlier try left and that holds all is enough."""
    path = record.path
    count, number = record.count(), 1
    target = path.with_name(f"{path.stem}.version-{version}{path.suffix}")
    while os.path.lexists(target):
        if _holds(target, count, record.connect):
            return
        number += 1
        target = path.with_name(f"{path.stem}.version-{version}-{number}{path.suffix}")

    def make(new: Path) -> None:
        record.copy_into(new)
        sync(new)
        if not _holds(new, count, record.connect):
            raise Damaged(say(DAMAGED).format(name=path.name))

    with plain(target):
        placed(target, make)


def _holds(file: Path, count: int, connect: engine.Connect) -> bool:
    """Whether a copy is sound and holds at least so many entries."""
    if _is_unsound(file, connect):
        return False
    reads = engine.reading(file, connect, engine.PATIENCE_MS)
    try:
        with reads.connect() as connection:
            return reader.number(connection, _COUNT) >= count
    finally:
        reads.dispose()


def _is_unsound(file: Path, connect: engine.Connect) -> bool:
    reads = engine.reading(file, connect, engine.PATIENCE_MS)
    try:
        with contextlib.suppress(*soundness.unreadable()), reads.connect() as connection:
            return bool(soundness.whole(connection))
        return True
    finally:
        reads.dispose()
