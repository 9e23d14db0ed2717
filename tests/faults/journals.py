"""Journals that power cuts left, and the records that are made in their places afterwards."""

import contextlib
import random
import shutil
import sqlite3
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from carelog.domain.trouble import Trouble
from carelog.store.backup import back_up, restore
from carelog.store.opening import check_file
from tests.faults.leftovers import cut_off_and_moved
from tests.store.making import entry, fresh, opened

Make = Callable[[Path, Path], int]
"""Make a record at the second path, from the copy at the first or from nothing; how many entries it has."""


@dataclass(slots=True)
class Outcome:
    """What became of records made where a journal lay."""

    made: int = 0
    spoiled: int = 0
    unwritable: int = 0
    journals_gone: int = 0

    @property
    def is_clean(self) -> bool:
        """Whether each record stayed whole and could be written on, and each journal was kept."""
        return self.made > 0 and not (self.spoiled or self.unwritable or self.journals_gone)


def restored(copy: Path, record: Path) -> int:
    """Come back from a copy."""
    return restore(copy, record)


def begun(_copy: Path, record: Path) -> int:
    """Make a new one."""
    made = fresh(record)
    made.append([entry(1)])
    made.close()
    return 1


def copied(copy: Path, record: Path) -> int:
    """The control: the copy is put there by hand, and a bare database opens it."""
    shutil.copyfile(copy, record)
    with contextlib.closing(sqlite3.connect(record)) as bare, contextlib.suppress(sqlite3.DatabaseError):
        bare.execute("SELECT count(*) FROM sqlite_master").fetchall()
    return -1


def many(journals: int, makers: tuple[Make, ...] = (restored, begun), seed: int = 20) -> Outcome:
    """So many journals, of records of other lengths, some cut short; a record is made beside each."""
    outcome, rng = Outcome(), random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        for number in range(journals):
            place = Path(folder) / str(number)
            place.mkdir()
            _one(place, rng.choice(makers), rng, outcome)
            shutil.rmtree(place)
    return outcome


def _one(place: Path, make: Make, rng: random.Random, outcome: Outcome) -> None:
    record, copy = place / "record.carelog", place / "copy.carelog"
    _long(place / "other.carelog", rng.randrange(40, 400), rng)
    back_up(place / "other.carelog", copy)
    kept = check_file(copy)[0]
    _long(record, rng.randrange(20, 120), rng)
    cut_off_and_moved(record)
    journal = Path(f"{record}-journal")
    if rng.random() < 0.3:
        content = journal.read_bytes()
        journal.write_bytes(content[: rng.randrange(len(content) // 2, len(content))])
    left = journal.read_bytes()
    count = make(copy, record)
    outcome.made += 1
    outcome.spoiled += check_file(record) != (kept if count < 0 else count, [])
    try:
        with contextlib.closing(opened(record)) as writer:
            writer.append([entry(9_000)])
    except Trouble:
        outcome.unwritable += 1
    aside = Path(f"{record}-journal.left-1")
    outcome.journals_gone += not aside.exists() or aside.read_bytes() != left


def _long(path: Path, entries: int, rng: random.Random) -> None:
    record = fresh(path)
    record.append([entry(n, note="as it was " * rng.randrange(1, 30)) for n in range(entries)])
    record.close()
