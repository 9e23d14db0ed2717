"""Disks on which one call fails, once or from then on: the record is as before or as after, never between."""

import builtins
import errno
import io
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from typing import Any
from unittest.mock import patch

import apsw

from carelog.domain.entry import Entry, line
from carelog.domain.trouble import Trouble
from carelog.store.backup import back_up, restore
from carelog.store.exchange import StoredExchange
from carelog.store.record import StoredRecord
from tests.exchange.making import HEADING, raw
from tests.faults.driver import Connection
from tests.store.making import change, entry, fresh, opened

_names = count(1)
OS_CALLS = ("open", "fsync", "link", "rename", "unlink", "stat")
OLD = [entry(n) for n in range(30)]


class Faults:
    """Counts the calls to a disk and lets one of them fail, or all from it on."""

    def __init__(self, at: int = 0, for_good: bool = False, code: int = apsw.SQLITE_IOERR) -> None:
        """`at` 0: none fails; the first call is number 1. `code`: a full disk fails in its own calls only."""
        self.calls = 0
        self.failed = 0
        self._at, self._for_good, self._code = at, for_good, code
        self._is_full = code == apsw.SQLITE_FULL

    def is_due(self) -> bool:
        """Whether the next call must fail."""
        self.calls += 1
        due = self._at > 0 and (self.calls >= self._at if self._for_good else self.calls == self._at)
        self.failed += due
        return due

    def heal(self) -> None:
        """From here on the disk works."""
        self._at = 0

    def in_sqlite(self, finer: int) -> None:
        """Fail inside SQLite when it is time."""
        if self._is_full and finer != apsw.SQLITE_IOERR_WRITE:
            return
        if self.is_due():
            raise apsw.exception_for(self._code if self._is_full else finer)

    def in_the_system(self, name: str) -> None:
        """Fail in a call of our own when it is time."""
        if self._is_full and name != "link":
            return
        if self.is_due():
            number = errno.ENOSPC if self._is_full else errno.EIO
            raise OSError(number, os.strerror(number), name)

    @contextmanager
    def around(self) -> Iterator[Callable[[str], Connection]]:
        """Let everything inside meet this disk; gives the driver's connect function."""
        vfs = FailingDisk(f"failing-{next(_names)}", self)
        with ExitStack() as stack:
            for name in OS_CALLS:
                stack.enter_context(patch.object(os, name, self._wrapped(name, getattr(os, name))))
            stack.enter_context(patch.object(io, "open", self._wrapped("open", io.open)))
            stack.enter_context(patch.object(builtins, "open", self._wrapped("open", builtins.open)))
            yield lambda uri: Connection(uri, vfs.name)

    def _wrapped(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*given: Any, **more: Any) -> Any:
            self.in_the_system(name)
            return real(*given, **more)

        return call


class FailingDisk(apsw.VFS):
    """A VFS whose calls fail when it is time."""

    def __init__(self, name: str, faults: Faults) -> None:
        self.name, self._faults = name, faults
        super().__init__(name, "")

    def excepthook(self, *_error: Any) -> bool:
        """What can't be told is no news here."""
        return True

    def xOpen(self, name: Any, flags: list[int]) -> "FailingFile":
        self._faults.in_sqlite(apsw.SQLITE_CANTOPEN)
        return FailingFile(self._faults, name, flags)

    def xDelete(self, filename: str, syncdir: bool) -> None:
        self._faults.in_sqlite(apsw.SQLITE_IOERR_DELETE)
        super().xDelete(filename, syncdir)

    def xAccess(self, pathname: str, flags: int) -> bool:
        self._faults.in_sqlite(apsw.SQLITE_IOERR_ACCESS)
        return super().xAccess(pathname, flags)


class FailingFile(apsw.VFSFile):
    """A file whose calls fail when it is time."""

    def __init__(self, faults: Faults, name: Any, flags: list[int]) -> None:
        self._faults = faults
        super().__init__("", name, flags)

    def excepthook(self, *_error: Any) -> bool:
        """What can't be told is no news here."""
        return True

    def xRead(self, amount: int, offset: int) -> bytes:
        self._faults.in_sqlite(apsw.SQLITE_IOERR_READ)
        return super().xRead(amount, offset)

    def xWrite(self, data: bytes, offset: int) -> None:
        self._faults.in_sqlite(apsw.SQLITE_IOERR_WRITE)
        super().xWrite(data, offset)

    def xTruncate(self, newsize: int) -> None:
        self._faults.in_sqlite(apsw.SQLITE_IOERR_TRUNCATE)
        super().xTruncate(newsize)

    def xSync(self, flags: int) -> None:
        self._faults.in_sqlite(apsw.SQLITE_IOERR_FSYNC)
        super().xSync(flags)

    def xFileSize(self) -> int:
        self._faults.in_sqlite(apsw.SQLITE_IOERR_FSTAT)
        return super().xFileSize()

    def xLock(self, level: int) -> None:
        self._faults.in_sqlite(apsw.SQLITE_IOERR_LOCK)
        super().xLock(level)


@dataclass(slots=True)
class Job:
    """Something that is done to a record: what it does, and which entries are there afterwards.

    `source`: a record to begin with, in place of one that is made; `look`: what else is wrong afterwards.
    """

    name: str
    run: Callable[[StoredRecord], None]
    adds: list[Entry] = field(default_factory=list)
    is_first: bool = False
    source: Path | None = None
    look: Callable[[Path], list[str]] = lambda _path: []


def _appended(name: str, adds: list[Entry], is_first: bool = False) -> Job:
    return Job(name, lambda record: record.append(adds), adds, is_first)


def _imported(adds: list[Entry]) -> Job:
    lines = [raw(HEADING), *(raw(line(each)) for each in adds)]

    def add(record: StoredRecord) -> None:
        StoredExchange().merge(lines, record)

    return Job("import", add, adds)


def _one_by_one(record: StoredRecord) -> None:
    for each in CONTROL.adds:
        record.append([each])


NEW = [entry(n, note="n" * 500) for n in range(100, 140)]
JOBS = [
    _appended("save", NEW[:1]),
    _appended("amend", [change(200, 3)]),
    _imported(NEW),
    _appended("first save", NEW[:1], is_first=True),
]
CONTROL = Job("one by one", _one_by_one, NEW[:3])


@dataclass(slots=True)
class Outcome:
    """What many failures did."""

    faults: int = 0
    told: int = 0
    between: list[str] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)
    tracebacks: list[str] = field(default_factory=list)
    stuck: list[str] = field(default_factory=list)
    sentences: set[str] = field(default_factory=set)

    @property
    def is_clean(self) -> bool:
        """Whether it was always “before” or “after”, in words, and worked again afterwards."""
        return not (self.between or self.lost or self.tracebacks or self.stuck)


def every_call(job: Job, step: int = 1, code: int = apsw.SQLITE_IOERR) -> Outcome:
    """Let each call of a job fail (or each `step`th), once and for good."""
    outcome = Outcome()
    with tempfile.TemporaryDirectory() as folder:
        base = job.source or _old(Path(folder))
        total = _try(job, base, Path(folder), Faults(code=code), outcome, "without")
        outcome.faults, outcome.sentences = 0, set()
        for at in range(1, total + 1, step):
            for for_good in (False, True) if code == apsw.SQLITE_IOERR else (True,):
                where = f"{job.name} {at}/{total}{' for good' if for_good else ''}"
                _try(job, base, Path(folder), Faults(at, for_good, code), outcome, where)
    return outcome


def _old(folder: Path) -> Path:
    base = folder / "base.carelog"
    record = fresh(base)
    record.append(OLD)
    record.close()
    return base


def _try(job: Job, base: Path, folder: Path, faults: Faults, outcome: Outcome, where: str) -> int:
    """One run; returns how many calls it made."""
    here = folder / "here"
    here.mkdir()
    path = here / "record.carelog"
    if not job.is_first:
        shutil.copyfile(base, path)
    before = set() if job.is_first else _ids(base)
    after = before | {each.id for each in job.adds}
    calls, failure, record = 0, "", None
    with faults.around() as connect:
        try:
            record = fresh(path, connect=connect)
            job.run(record)
        except Trouble as error:
            failure = error.sentence
        except Exception as error:
            failure = "!"
            outcome.tracebacks.append(f"{where}: {error!r}")
        calls = faults.calls
        faults.heal()
        outcome.faults += 1
        outcome.told += bool(failure)
        outcome.sentences.add(failure)
        found = _ids(path)
        if found not in (before, after):
            outcome.between.append(where)
        if not failure and found != after:
            outcome.lost.append(where)
        outcome.between += [f"{where}: {each}" for each in job.look(path)]
        _again(job, record, path, connect, after, outcome, where)
    shutil.rmtree(here)
    return calls


def _ids(path: Path) -> set[str]:
    """What a later start finds in the file, with the standard driver."""
    if not path.exists():
        return set()
    record = opened(path)
    try:
        return {each.id for each in record.everything()}
    finally:
        record.close()


def _again(
    job: Job,
    record: StoredRecord | None,
    path: Path,
    connect: Callable[[str], Connection],
    after: set[str],
    outcome: Outcome,
    where: str,
) -> None:
    """Once the disk works, the same window does the same again."""
    try:
        record = record or fresh(path, connect=connect)
        job.run(record)
        damage = record.check()
        if damage or {each.id for each in record.everything()} != after:
            outcome.stuck.append(f"{where}: {damage}")
        record.close()
    except Exception as error:
        outcome.stuck.append(f"{where}: again: {error!r}")
        if record:
            with suppress(Exception):
                record.close()


def copying(step: int = 1) -> Outcome:
    """Let each call of a copy and of the way back fail, once and for good."""
    outcome = Outcome()
    with tempfile.TemporaryDirectory() as folder:
        base = _old(Path(folder))
        for work in (back_up, restore):
            total = _copy(work, base, Path(folder), Faults(), outcome, "")
            for at in range(1, total + 1, step):
                for for_good in (False, True):
                    where = f"{work.__name__} {at}/{total}{' for good' if for_good else ''}"
                    _copy(work, base, Path(folder), Faults(at, for_good), outcome, where)
    return outcome


def _copy(
    work: Callable[..., int], base: Path, folder: Path, faults: Faults, outcome: Outcome, where: str
) -> int:
    here = folder / "here"
    here.mkdir()
    target, before = here / "copy.carelog", base.read_bytes()
    failure = ""
    with faults.around() as connect:
        try:
            work(base, target, connect)
        except Trouble as error:
            failure = error.sentence
        except Exception as error:
            failure = "!"
            outcome.tracebacks.append(f"{where}: {error!r}")
        calls = faults.calls
        faults.heal()
    outcome.faults += 1
    outcome.told += bool(failure)
    outcome.sentences.add(failure)
    if base.read_bytes() != before:
        outcome.lost.append(f"{where}: the record was changed")
    found = _ids(target)
    if found not in (set(), {each.id for each in OLD}):
        outcome.between.append(where)
    if not failure and not found:
        outcome.lost.append(where)
    shutil.rmtree(here)
    return calls
