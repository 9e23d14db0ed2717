"""Copies of a record that were read back before anyone relies on them, and the way back from one."""

import os
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from carelog.domain.moment import Instant
from carelog.domain.record import Damage, PersonHeading
from carelog.domain.trouble import Refused, Trouble
from carelog.store import engine, reader, soundness, upgrades
from carelog.store.birth import placed, sync, sync_folder
from carelog.store.errors import (
    DAMAGED,
    Damaged,
    NoRoom,
    has_a_sentence,
    is_disk_failure,
    plain,
)
from carelog.store.journal import beside
from carelog.store.opening import open_record, recognise
from carelog.store.readings import Connection, one_value
from carelog.store.record import StoredRecord
from carelog.store.writer import heading
from carelog.text import mark, say

TAKEN = mark(
    "“{name}” is there already. A copy never takes its place: choose another name, or move it first."
)
BAD_COPY = mark(
    "The copy “{name}” could not be read back as it was written. It was thrown away. Check the disk."
)
NOT_WRITTEN = mark(
    "The copy “{name}” could not be written. The record is as it was. Check the disk that the copy goes to."
)
BAD_SOURCE = mark("“{name}” is damaged, so no record was made from it. Try an older copy.")
_NOBODY = "nobody"  # copying writes no entry, so no installation is named


@dataclass(frozen=True, slots=True)
class Examined:
    """What a copy holds: how many entries, up to when (recorded), about whom, and what is wrong with it."""

    count: int
    recorded_up_to: Instant | None
    person: PersonHeading
    damage: tuple[Damage, ...]


def back_up(record: Path, target: Path, connect: engine.Connect = engine.plain_connect) -> int:
    """Make a copy through SQLite's own backup, read it back, and only then give it its name.

    Returns how many entries it holds. `Refused` when the target is there or the record can't be read,
    `Damaged` when the record is damaged, `Trouble` when the disk fails; then no copy is left.
    """
    with _source(record, connect) as source, told_apart(target, lambda: not source.quick_check()):
        return _copy(source, target, connect, say(DAMAGED).format(name=record.name))


def restore(copy: Path, target: Path, connect: engine.Connect = engine.plain_connect) -> int:
    """Make a record of this version from a copy, never over a file; how many entries are back."""
    refuse_taken(target)
    sentence = say(BAD_SOURCE).format(name=copy.name)
    with _source(copy, connect) as source:
        if source.check():
            raise Damaged(sentence)
        return _copy(source, target, connect, sentence, is_upgraded=True)


def refuse_taken(target: Path) -> None:
    """`Refused` when a file bears that name."""
    with plain(target):
        if os.path.lexists(target):
            raise Refused(say(TAKEN).format(name=target.name))


def examine(copy: Path, connect: engine.Connect = engine.plain_connect) -> Examined:
    """What a copy holds and whether it is sound; `Trouble` when it isn't a record at all."""
    with _source(copy, connect) as source:
        damage = tuple(source.check())
        try:
            return Examined(source.count(), source.read(_recorded_up_to), source.person(), damage)
        except Damaged:
            return Examined(0, None, PersonHeading("", ""), damage)


def held_up_to(copy: Path, now: Instant, connect: engine.Connect = engine.plain_connect) -> Instant:
    """Up to when what a copy holds was recorded; 0 when it holds nothing, `Trouble` when it can't be read.

    Entries that are dated ahead of now, by a clock that was wrong, say nothing about it.
    """
    with _source(copy, connect) as source:
        return source.read(lambda connection: _recorded_by(connection, now)) or 0


def lacking(record: Path, copy: Path, connect: engine.Connect = engine.plain_connect) -> int:
    """How many entries that are still as they were written in a (damaged) record aren't in a copy."""
    with _source(record, connect) as one, _source(copy, connect) as other:
        there = other.read(lambda connection: set(reader.ids(connection)))
        return sum(each not in there for each in one.read(soundness.sound_ids))


def set_aside(record: Path, stamp: str, why: str = "damaged") -> Path:
    """Rename a record, with SQLite's files beside it, so that nothing writes to it any more.

    `stamp` tells when and `why` for what, in letters a file name may hold. Returns its new name.
    """
    with plain(record):
        target = record.with_name(f"{record.stem}.{why}-{stamp}{record.suffix}")
        number = 1
        while os.path.lexists(target):
            number += 1
            target = record.with_name(f"{record.stem}.{why}-{stamp}-{number}{record.suffix}")
        for end in ("-journal", "-wal", "-shm", ""):
            if os.path.lexists(beside(record, end)):
                beside(record, end).rename(beside(target, end))
        sync_folder(record.parent)
        return target


@contextmanager
def _source(path: Path, connect: engine.Connect) -> Iterator[StoredRecord]:
    record = open_record(path, installation=_NOBODY, connect=connect, is_only_read=True)
    with closing(record):
        yield record


@contextmanager
def told_apart(target: Path, is_read: Callable[[], bool]) -> Iterator[None]:
    """A disk that fails under a copy isn't told as if the record had failed, which is read once more."""
    try:
        yield
    except Trouble as error:
        cause = error.__cause__
        is_disk = not has_a_sentence(cause) if isinstance(cause, OSError) else is_disk_failure(cause)
        if is_disk and not isinstance(error, NoRoom) and is_read():
            raise Trouble(say(NOT_WRITTEN).format(name=target.name)) from error
        raise


def _copy(
    source: StoredRecord, target: Path, connect: engine.Connect, damaged: str, *, is_upgraded: bool = False
) -> int:
    least, counts = source.count(), []

    def make(new: Path) -> None:
        source.copy_into(new)
        if is_upgraded:
            upgrades.bring_file_up(new, connect)
        sync(new)
        forget_cached(new)
        recognise(new, target.name)
        counts.append(_read_back(new, source, connect))
        if counts[-1] < least:
            raise Damaged(damaged) if source.check() else Trouble(say(BAD_COPY).format(name=target.name))

    with plain(target):
        try:
            placed(target, make)
        except FileExistsError:
            raise Refused(say(TAKEN).format(name=target.name)) from None
    return counts[-1]


def _read_back(new: Path, source: StoredRecord, connect: engine.Connect) -> int:
    """How many entries a copy holds; -1 when it isn't sound or about somebody else."""
    copied = engine.reading(new, connect, engine.PATIENCE_MS)
    try:
        with copied.connect() as connection:
            if soundness.whole(connection) or heading(connection) != source.person():
                return -1
            return reader.number(connection, "SELECT count(*) FROM entry")
    except soundness.unreadable():
        return -1
    finally:
        copied.dispose()


def forget_cached(file: Path) -> None:
    """Let the system drop what it holds of a file in memory, so that reading it back asks the disk."""
    if not hasattr(os, "posix_fadvise"):
        return
    handle = os.open(file, os.O_RDONLY)
    try:
        os.posix_fadvise(handle, 0, 0, os.POSIX_FADV_DONTNEED)
    finally:
        os.close(handle)


def _recorded_up_to(connection: Connection) -> Instant | None:
    found: Instant | None = one_value(connection, "SELECT max(recorded_at) FROM entry")
    return found


def _recorded_by(connection: Connection, now: Instant) -> Instant | None:
    query = "SELECT max(recorded_at) FROM entry WHERE recorded_at <= ?"
    found: Instant | None = one_value(connection, query, (now,))
    return found
