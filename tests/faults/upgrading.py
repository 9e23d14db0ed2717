"""Records of earlier versions brought up to this one: killed in between, and begun again."""

import os
import re
import shutil
import signal
import sqlite3
import tempfile
import warnings
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from carelog.store.engine import Connect, plain_connect, uri_of
from carelog.store.opening import check_file
from carelog.store.record import StoredRecord
from carelog.store.tables import VERSION, steps
from tests.faults.failing import Job
from tests.store.making import entry, opened

VERSIONS = Path(__file__).parent.parent / "store" / "versions"
Upgrade = Callable[[Path, Connect], None]
ROWS = "SELECT arrival, id, content_hash, link, installation FROM entry ORDER BY arrival"
GUARDS = "SELECT count(*) FROM sqlite_master WHERE type = 'trigger'"
STRICT = "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND sql LIKE '%) STRICT'"


@dataclass(slots=True)
class Outcome:
    """What killing did: of so many tries, how many left neither the old nor the new record."""

    tries: int = 0
    killed: int = 0
    between: int = 0
    lost: int = 0
    not_done: int = 0

    @property
    def is_clean(self) -> bool:
        """Whether each was whole after the kill, and upgraded with all its hashes by the next start."""
        return self.killed > 0 and not (self.between or self.lost or self.not_done)


def by_the_store(file: Path, connect: Connect) -> None:
    """As the program does it: with the first thing that is written."""
    with closing(opened(file, connect=connect)) as one:
        one.append([entry(900)])


def without_a_transaction(file: Path, connect: Connect) -> None:
    """The control: one statement after the other, each by itself."""
    made = connect(file.as_uri())
    for statement in steps(1):
        made.execute(statement)
    made.close()


def _upgraded(record: StoredRecord) -> None:
    record.append([entry(900)])


def _step_by_step(record: StoredRecord) -> None:
    with closing(record.connect(uri_of(record.path, "rw"))) as made:
        for statement in steps(1):
            made.execute(statement)
    record.append([entry(900)])


def _in_between(file: Path) -> list[str]:
    """What is neither of the version before nor of this one: the record, or what was kept of it beside it.

    A copy that isn't finished has a hidden name: where the disk doesn't let it go, it is swept a day later.
    """
    wrong = [f"{file.name}: {each}" for each in check_file(file)[1]]
    shown = {each for each in file.parent.iterdir() if not each.name.startswith(".")}
    for beside in sorted(shown - {file, file.with_name(f"{file.name}-journal")}):
        is_kept = KEPT.fullmatch(beside.name)
        if not is_kept:
            wrong.append(f"left: {beside.name}")
        elif check_file(beside)[1] or _asked(beside, ROWS) != _asked(FIRST, ROWS):
            wrong.append(f"kept in half: {beside.name}")
    return wrong


FIRST = VERSIONS / "1" / "record.carelog"
KEPT = re.compile(r"record\.version-1(-\d+)?\.carelog")
ON_A_FAILING_DISK = Job("upgrade", _upgraded, [entry(900)], source=FIRST, look=_in_between)
WITHOUT_A_TRANSACTION = Job("step by step", _step_by_step, [entry(900)], source=FIRST, look=_in_between)


def killed(points: int, upgrade: Upgrade = by_the_store) -> Outcome:
    """Kill the upgrade of each version's record at so many points, look at it, and start again."""
    outcome = Outcome()
    for version in range(1, VERSION):
        with tempfile.TemporaryDirectory() as folder:
            _version(VERSIONS / str(version) / "record.carelog", Path(folder), points, upgrade, outcome)
    return outcome


def _version(source: Path, folder: Path, points: int, upgrade: Upgrade, outcome: Outcome) -> None:
    seen: list[str] = []
    upgrade(Path(shutil.copy(source, folder / "whole.carelog")), counted(0, seen))
    before = _asked(source, ROWS)
    for number in range(points):
        here = folder / str(number)
        here.mkdir()
        file = Path(shutil.copy(source, here / "record.carelog"))
        limit = 1 + number * (len(seen) - 1) // max(points - 1, 1)
        outcome.tries += 1
        outcome.killed += in_a_child(lambda: upgrade(file, counted(limit, [])))  # noqa: B023
        outcome.between += bool(check_file(file)[1])
        outcome.lost += _asked(file, ROWS)[: len(before)] != before
        try:
            by_the_store(file, plain_connect)
            is_done = int.from_bytes(file.read_bytes()[60:64], "big") == VERSION
            has_all = _asked(file, STRICT) == [(3,)] and _asked(file, GUARDS) == _asked_of_new(here)
            outcome.not_done += not (is_done and has_all and check_file(file)[1] == [])
        except Exception:
            outcome.not_done += 1
        shutil.rmtree(here)


def _asked_of_new(folder: Path) -> list[tuple[object, ...]]:
    from tests.store.making import fresh

    new = fresh(folder / "new.carelog")
    new.append([entry(1)])
    new.close()
    return _asked(folder / "new.carelog", GUARDS)


def _asked(file: Path, question: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(file)) as plain:
        return list(plain.execute(question))


def counted(limit: int, seen: list[str]) -> Connect:
    """Connections of which the statement after so many ends the process at once, as kill -9 does."""

    def trace(statement: str) -> None:
        seen.append(statement)
        if len(seen) == limit:
            os.kill(os.getpid(), signal.SIGKILL)

    def connect(uri: str) -> sqlite3.Connection:
        made = plain_connect(uri)
        made.set_trace_callback(trace)
        return made

    return connect


def in_a_child(job: Callable[[], None]) -> bool:
    """Do something in a process of its own; whether it was killed."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # Python 3.12 on: a fork beside other threads
        child = os.fork()
    if child == 0:
        try:
            job()
        finally:
            os._exit(0)
    return os.WIFSIGNALED(os.waitpid(child, 0)[1])
