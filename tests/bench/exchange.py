"""Importing and exporting a long history as an exchange file.

usage: python -m tests.bench.exchange [--entries 100000] [--pairs 5]
Floor: writing the same entries with the bare driver in one transaction under the same settings into a table
with the same columns and indexes but without any trigger, the content hashes and links worked out on the way.
The ratios are of the processor's time; waiting for the disk isn't in it.
"""

import argparse
import json
import sqlite3
import statistics
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from carelog.domain.entry import FIRST_LINK, Entry, line, link
from carelog.store.exchange import StoredExchange
from carelog.store.opening import open_record
from carelog.store.rows import INSERT, PLACES, row_of
from carelog.store.tables import schema
from tests.bench import measurement
from tests.bench.measurement import PERSON, Figure

HEADING = json.dumps({"format": "carelog-exchange", "version": 1, "person": {"id": PERSON.id, "name": ""}})


def main() -> int:
    """Measure and print; 0 when all figures hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--entries", type=int, default=100_000)
    parser.add_argument("--pairs", type=int, default=5)
    asked = parser.parse_args()
    entries = list(measurement.history(asked.entries))
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder) / "all.jsonl"
        source.write_text("".join(f"{each}\n" for each in [HEADING, *map(line, entries)]), encoding="utf-8")
        found = [
            bringing_in(Path(folder), source, entries, asked.pairs),
            writing_out(Path(folder), entries, asked.pairs),
        ]
    return measurement.figures(f"The exchange file, {asked.entries} entries", found)


def bare(path: Path, entries: Sequence[Entry]) -> None:
    """The floor."""
    connection = sqlite3.connect(path, isolation_level=None)
    for setting in ("journal_mode = TRUNCATE", "synchronous = EXTRA"):
        connection.execute(f"PRAGMA {setting}")
    connection.execute("BEGIN IMMEDIATE")
    for statement in schema():
        if not statement.startswith("CREATE TRIGGER"):
            connection.execute(statement)
    connection.execute("INSERT INTO installation (id) VALUES ('bench')")
    connection.executemany(INSERT + PLACES, linked(entries))
    connection.execute("COMMIT")
    connection.close()


def linked(entries: Sequence[Entry]) -> Iterator[tuple[object, ...]]:
    """Rows with their links."""
    last = FIRST_LINK
    for entry in entries:
        row = row_of(entry)
        last = link(last, row.content_hash)
        yield (*row, last, 1)


def bringing_in(folder: Path, source: Path, entries: Sequence[Entry], count: int) -> Figure:
    """An import into a record that isn't there yet."""
    numbers = iter(range(10_000))

    def program() -> None:
        path = folder / f"in-{next(numbers)}.carelog"
        record = open_record(path, installation="bench", create=PERSON)
        with source.open("rb") as file:
            assert StoredExchange().merge(file, record).added == len(entries)
        record.close()
        path.unlink()

    def floor() -> None:
        path = folder / f"bare-{next(numbers)}.carelog"
        bare(path, entries)
        path.unlink()

    ratio, mine, floors = measurement.pairs(program, floor, count, measurement.spent)
    shown = f"{statistics.median(mine):.2f} to {statistics.median(floors):.2f} s"
    return Figure("15", "importing, to writing with the bare driver", ratio, 3, shown)


def writing_out(folder: Path, entries: Sequence[Entry], count: int) -> Figure:
    """An export of the whole record."""
    path = folder / "out.carelog"
    record = open_record(path, installation="bench", create=PERSON)
    record.append(entries)
    numbers = iter(range(10_000))

    def program() -> None:
        with (folder / "out.jsonl").open("wb") as file:
            file.writelines(StoredExchange().write(record, record.everything(), 0))

    def floor() -> None:
        other = folder / f"bare-{next(numbers)}.carelog"
        bare(other, entries)
        other.unlink()

    ratio, mine, floors = measurement.pairs(program, floor, count, measurement.spent)
    record.close()
    shown = f"{statistics.median(mine):.2f} to {statistics.median(floors):.2f} s"
    return Figure("15", "exporting, to writing with the bare driver", ratio, 2, shown)


if __name__ == "__main__":
    sys.exit(main())
