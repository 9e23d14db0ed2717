"""Saving under power cuts: what was acknowledged is there, nothing is there by half, every file opens."""

import random
import tempfile
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass
from itertools import count
from pathlib import Path

import sqlalchemy as sa

from carelog.domain.entry import Entry, line
from carelog.domain.trouble import Trouble
from carelog.store.exchange import StoredExchange
from carelog.store.record import StoredRecord
from carelog.store.rows import INSERT, PLACES, row_of
from tests.exchange.making import HEADING, raw
from tests.faults.power import Disk, Watched
from tests.store.making import THERE, change, entry, fresh, id_of, opened

_names = count(1)

Save = Callable[[Path, Watched, list[list[Entry]]], None]


@dataclass(slots=True)
class Outcome:
    """What many cuts did."""

    cuts: int = 0
    acknowledged: int = 0
    lost: int = 0
    halves: int = 0
    unreadable: int = 0
    damaged: int = 0

    @property
    def is_clean(self) -> bool:
        """Whether nothing was lost, nothing half, every file opened and was sound."""
        return self.lost == self.halves == self.unreadable == self.damaged == 0


def groups(rng: random.Random) -> list[list[Entry]]:
    """What is saved, transaction by transaction: single entries, changes, and an import now and then."""
    made: list[list[Entry]] = []
    numbers = count(100)
    for _ in range(12):
        number = next(numbers)
        if rng.random() < 0.25 and made:
            made.append(
                [change(number, int(made[0][0].id.replace("-", ""), 16), note="x" * rng.randrange(9000))]
            )
        elif rng.random() < 0.25:
            made.append(
                [entry(next(numbers), note="y" * rng.randrange(3000)) for _ in range(rng.randrange(2, 60))]
            )
        else:
            made.append([entry(number, note="z" * rng.randrange(300))])
    return made


def by_the_store(path: Path, vfs: Watched, todo: list[list[Entry]]) -> None:
    """The way of the program: single entries by `append`, many by an import."""
    here, there = opened(path, connect=vfs.connect), opened(path, THERE, connect=vfs.connect)
    for number, group in enumerate(todo):
        record: StoredRecord = there if number % 5 == 4 else here
        if len(group) == 1:
            record.append(group)
        else:
            lines = [raw(HEADING), *(raw(line(each)) for each in group)]
            StoredExchange().merge(lines, record)
        vfs.acknowledge(*(each.id for each in group))
    here.close()
    there.close()


def by_default_settings(path: Path, vfs: Watched, todo: list[list[Entry]]) -> None:
    """The control: the same rows as SQLAlchemy writes them when nobody sets anything."""
    engine = sa.create_engine("sqlite://", creator=lambda: vfs.connect(f"file:{path}"), poolclass=sa.NullPool)

    @sa.event.listens_for(engine, "begin")
    def _begin(connection: sa.Connection) -> None:
        connection.exec_driver_sql("BEGIN")

    for group in todo:
        with engine.begin() as connection:
            for each in group:
                connection.exec_driver_sql(INSERT + PLACES, (*row_of(each), "0" * 64, 1))
        vfs.acknowledge(*(each.id for each in group))
    engine.dispose()


def many(cuts: int, save: Save, seed: int = 20) -> Outcome:
    """So many cuts, each at another place of one of several runs."""
    outcome, rng = Outcome(), random.Random(seed)
    while outcome.cuts < cuts:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "record.carelog"
            record = fresh(path)
            record.append([entry(n) for n in range(20)])
            record.close()
            todo = groups(rng)
            vfs = Watched(f"watched-{next(_names)}")
            disk = Disk([path, Path(f"{path}-journal")], vfs.calls)
            save(path, vfs, todo)
            vfs.unregister()
            for number in range(min(50, cuts - outcome.cuts)):
                after = Path(folder) / f"after-{number}"
                after.mkdir()
                _one(disk, todo, after, rng, outcome)
    return outcome


def _one(disk: Disk, todo: list[list[Entry]], folder: Path, rng: random.Random, outcome: Outcome) -> None:
    """One cut: put the disk back as it was found, open the record, and count.

    Three of ten cuts come in the moment in which somebody was told “saved”, the others anywhere.
    """
    outcome.cuts += 1
    told_at = [number for number, call in enumerate(disk.calls, start=1) if call[0] == "acknowledge"]
    anywhere = rng.randrange(1, len(disk.calls) + 1)
    files, told = disk.cut(rng.choice(told_at) if rng.random() < 0.3 else anywhere, rng)
    for name, content in files.items():
        (folder / Path(name).name).write_bytes(content)
    outcome.acknowledged += sum(map(len, told))
    try:
        with closing(opened(folder / "record.carelog")) as record:
            found = {each.id for each in record.everything()}
            damage = record.check()
    except Trouble:
        outcome.unreadable += 1
        return
    outcome.damaged += bool(damage) and not _is_only_links(damage, todo)
    wanted = {id_of(n) for n in range(20)} | {each for ids in told for each in ids}
    outcome.lost += len(wanted - found)
    for group in todo:
        here = sum(each.id in found for each in group)
        outcome.halves += 0 < here < len(group)


def _is_only_links(damage: Sequence[object], todo: list[list[Entry]]) -> bool:
    """The control writes no true links; that isn't what it is asked about."""
    return bool(todo) and all("follow" in str(each) for each in damage)
