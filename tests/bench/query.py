"""A week out of a long history, and the newest of each kind.

usage: python -m tests.bench.query [--repeat 30] [--quick]
Floors: the same week as rows of SQLAlchemy's object mapper; one seek a kind with the bare driver.
"""

import argparse
import sqlite3
import statistics
import sys
import tempfile
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy.orm import Session

from carelog.store.engine import uri_of
from carelog.store.record import StoredRecord
from tests.bench import measurement
from tests.bench.mapped import MappedEntry
from tests.bench.measurement import A_MILLION, A_MONTH, KINDS, TEN_YEARS, Figure

SIZES = {"1 month": A_MONTH, "10 years": TEN_YEARS, "1,000,000": A_MILLION}


def main() -> int:
    """Measure and print; 0 when all figures hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--repeat", type=int, default=30)
    parser.add_argument("--quick", action="store_true", help="leave out the 1,000,000 entries")
    asked = parser.parse_args()
    found: list[Figure] = []
    weeks: dict[str, float] = {}
    with tempfile.TemporaryDirectory() as folder:
        for name, count in SIZES.items():
            if asked.quick and count == A_MILLION:
                continue
            record = measurement.built(Path(folder) / f"{count}.carelog", count)
            found += [week(record, name, asked.repeat, weeks), newest(record, name, asked.repeat)]
            record.close()
    first = weeks["1 month"]
    found += [Figure("7", f"a week of {n} to 1 month", weeks[n] / first, 1.2) for n in list(weeks)[1:]]
    return measurement.figures("Reading", found)


def week(record: StoredRecord, name: str, repeat: int, weeks: dict[str, float]) -> Figure:
    """A week as entries, to its rows by the object mapper."""
    start, end = measurement.last_week(record)
    engine = sa.create_engine(f"sqlite:///{record.path}")
    chosen = sa.select(MappedEntry).where(MappedEntry.at >= start, MappedEntry.at < end)
    kept = engine.connect()

    def mapped() -> int:
        with Session(kept) as session:
            return len(session.scalars(chosen).all())

    count = len(record.period(start, end))
    assert mapped() == count
    ratio, mine, floors = measurement.pairs(lambda: record.period(start, end), mapped, repeat)
    kept.close()
    engine.dispose()
    weeks[name] = statistics.median(mine)
    shown = f"{weeks[name] * 1e3:.2f} to {statistics.median(floors) * 1e3:.2f} ms, {count} entries"
    return Figure("7", f"a week of {name} as entries", ratio, 2, shown)


def newest(record: StoredRecord, name: str, repeat: int) -> Figure:
    """The newest entry of each kind, to one seek each."""
    plain = sqlite3.connect(uri_of(record.path, "ro"), uri=True)
    sql = "SELECT * FROM entry WHERE kind = ? ORDER BY at DESC LIMIT 1"

    def seeks() -> list[object]:
        return [plain.execute(sql, (kind,)).fetchone() for kind in KINDS]

    ratio, mine, floors = measurement.pairs(lambda: [record.newest(kind, 1) for kind in KINDS], seeks, repeat)
    plain.close()
    shown = f"{statistics.median(mine) * 1e3:.2f} to {statistics.median(floors) * 1e3:.2f} ms"
    return Figure("8", f"newest of {len(KINDS)} kinds of {name}", ratio, 99, shown)


if __name__ == "__main__":
    sys.exit(main())
