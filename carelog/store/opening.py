"""Opening a record file: what isn't ours is told apart by its first bytes and left as it is."""

import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from carelog import paths
from carelog.domain.record import Damage, PersonHeading
from carelog.domain.trouble import Refused, Trouble
from carelog.store.engine import PATIENCE_MS, Connect, plain_connect
from carelog.store.errors import NO_LOCKS, Busy, Damaged, plain
from carelog.store.journal import beside, is_interrupted, is_write_ahead
from carelog.store.place import knows_locks
from carelog.store.record import StoredRecord
from carelog.store.soundness import FILE
from carelog.store.tables import APPLICATION, VERSION
from carelog.text import mark, say

HEADER = 100
LOWEST_SQLITE = (3, 37, 0)  # the first with STRICT tables (SQLite's release notes, from memory)
_MAGIC = b"SQLite format 3\x00"

NOT_THERE = mark(
    "There is no record “{name}”. Check its name, or make one with carelog import or carelog add."
)
NOT_A_FILE = mark("“{name}” is not a file. Name a record file.")
TOO_OLD = mark(
    "This computer's SQLite is {found}. A record needs {wanted} or newer. Nothing was opened. A newer Python "
    "brings a newer one along."
)
EMPTY = mark("“{name}” is empty, so it is no record. It was left as it is.")
FOREIGN = mark("“{name}” is not a carelog record. It was left as it is.")
NEWER = mark(
    "“{name}” was written by a newer carelog. Get that one from where you got this one. Nothing was changed."
)
CUT_SHORT = mark(
    "“{name}” is damaged: its end is missing. It was left as it is. Get a backup back with carelog restore."
)


def open_record(
    path: Path,
    *,
    installation: str,
    create: PersonHeading | None = None,
    connect: Connect = plain_connect,
    read_patience_ms: int = PATIENCE_MS,
    is_only_read: bool = False,
) -> StoredRecord:
    """Open a record; with `create`, one that isn't there is made by the first thing that is written to it.

    `installation` is this computer's id, which starts its own links. Raises `Refused` for a file that isn't
    a record this version can read, `Trouble` for one that can't be opened; neither is changed. With
    `is_only_read` nothing at all is written where it lies, even to mend what a power cut left.
    """
    with plain(path):
        check_sqlite()
        file = Path(os.path.realpath(path))
        if create is not None and not os.path.lexists(file):
            record = StoredRecord(file, installation, connect, read_patience_ms, path)
            record.await_birth(create)
            return record
        return _opened(_found(path), path, installation, connect, read_patience_ms, is_only_read=is_only_read)


def check_sqlite(version: tuple[int, ...] = sqlite3.sqlite_version_info) -> None:
    """`Trouble` where this computer's SQLite is older than a record needs."""
    if version < LOWEST_SQLITE:
        found, wanted = (".".join(map(str, each)) for each in (version, LOWEST_SQLITE))
        raise Trouble(say(TOO_OLD).format(found=found, wanted=wanted))


def check_file(path: Path, connect: Connect = plain_connect) -> tuple[int, list[Damage]]:
    """How many entries a record holds and everything that is wrong with it, however damaged it is.

    Raises `Refused` for a file that isn't a record at all, `Trouble` when the disk fails.
    """
    try:
        with plain(path):
            file = _found(path)
        record = _opened(file, path, "", connect, PATIENCE_MS, only_to_check=True)
    except Damaged as error:
        return 0, [Damage(say(FILE), error.sentence)]
    with _lack_of_locks_named(file, path), closing(record):
        damage = [*_missing_end(file), *record.check()]
        try:
            return record.count(), damage
        except Damaged as error:
            return 0, damage or [Damage(say(FILE), error.sentence)]


def _missing_end(file: Path) -> list[Damage]:
    """Whether a file is shorter than its header says (SQLite’s file format, section 1.3)."""
    with file.open("rb") as stream:
        header = stream.read(HEADER)
    size = int.from_bytes(header[16:18], "big")
    wanted = (65536 if size == 1 else size) * int.from_bytes(header[28:32], "big")
    found = file.stat().st_size
    if header[24:28] != header[92:96] or found >= wanted:
        return []
    words = say("its end is missing: it should have {wanted} bytes and has {found}")
    return [Damage(say(FILE), words.format(wanted=wanted, found=found))]


def _found(path: Path) -> Path:
    """Where a record really lies, once its first bytes say that it is one."""
    file = Path(os.path.realpath(path))
    if not os.path.lexists(file):
        raise Trouble(say(NOT_THERE).format(name=path.name))
    recognise(file, path.name)
    return file


def recognise(file: Path, name: str = "") -> None:
    """`Refused` unless the first bytes of a file are those of a record that this version can read."""
    name = name or file.name
    if not file.is_file():
        raise Refused(say(NOT_A_FILE).format(name=name))
    with file.open("rb") as stream:
        header = stream.read(HEADER)
    if not header:
        raise Refused(say(EMPTY).format(name=name))
    if not header.startswith(_MAGIC):
        raise Refused(say(FOREIGN).format(name=name))
    if len(header) < HEADER:
        raise Damaged(say(CUT_SHORT).format(name=name))
    version, application = (int.from_bytes(header[at : at + 4], "big") for at in (60, 68))
    if application != APPLICATION or version < 1:
        raise Refused(say(FOREIGN).format(name=name))
    if version > VERSION:
        raise Refused(say(NEWER).format(name=name))


def _opened(
    file: Path,
    path: Path,
    installation: str,
    connect: Connect,
    patience_ms: int,
    only_to_check: bool = False,
    is_only_read: bool = False,
) -> StoredRecord:
    record = StoredRecord(file, installation, connect, patience_ms, path)
    with _lack_of_locks_named(file, path):
        try:
            if is_interrupted(file):
                if not is_only_read and _may_write(file):
                    record.recover()
                elif is_write_ahead(file) or record.is_cut_off():
                    record.close()
                    return _copied(file, path, installation, connect, patience_ms)
            record.begin(only_to_check)
        except BaseException:
            record.close()
            raise
    return record


@contextmanager
def _lack_of_locks_named(file: Path, path: Path) -> Iterator[None]:
    """Where no file can be locked SQLite speaks of another program; the record is closed again by then."""
    try:
        yield
    except Busy:
        if knows_locks(file):
            raise
        raise Trouble(say(NO_LOCKS).format(name=path.name)) from None


def _may_write(file: Path) -> bool:
    return os.access(file, os.W_OK) and os.access(file.parent, os.W_OK)


def _copied(file: Path, path: Path, installation: str, connect: Connect, patience_ms: int) -> StoredRecord:
    """A private copy, mended where the original may not be; it goes away with the record."""
    folder = tempfile.TemporaryDirectory(prefix="carelog-", dir=paths.scratch_place())
    copy = Path(folder.name) / file.name
    record = StoredRecord(copy, installation, connect, patience_ms, path)
    try:
        for end in ("", "-journal", "-wal"):
            if beside(file, end).exists():
                shutil.copyfile(beside(file, end), beside(copy, end))
        record.only_read(folder)
        record.recover()
        record.begin()
    except BaseException:
        record.close()  # and the folder with it
        raise
    return record
