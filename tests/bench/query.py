"""A week out of a long history, and what is due.

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

from carelog.analysis.due import dues
from carelog.app.outlook import Outlook
from carelog.domain.entry import Entry, new_id
from carelog.domain.moment import DAY_24_H, MINUTE, Moment
from carelog.kinds import ALL
from carelog.store.engine import uri_of
from carelog.store.record import StoredRecord
from tests.bench import measurement
from tests.bench.mapped import MappedEntry
from tests.bench.measurement import A_MILLION, A_MONTH, TEN_YEARS, Figure

SIZES = {"1 month": A_MONTH, "10 years": TEN_YEARS, "1,000,000": A_MILLION}


def main() -> int:
    """Measure and print; 0 when all figures hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--repeat", type=int, default=30)
    parser.add_argument("--quick", action="store_true", help="leave out the 1,000,000 entries")
    asked = parser.parse_args()
    found: list[Figure] = []
    weeks: dict[str, float] = {}
    lists: dict[str, float] = {}
    with tempfile.TemporaryDirectory() as folder:
        for name, count in SIZES.items():
            if asked.quick and count == A_MILLION:
                continue
            record = measurement.built(Path(folder) / f"{count}.carelog", count)
            found += [week(record, name, asked.repeat, weeks), due_list(record, name, asked.repeat, lists)]
            record.close()
    for number, what, times in (("7", "a week", weeks), ("8", "due list", lists)):
        first = times["1 month"]
        found += [Figure(number, f"{what} of {n} to 1 month", times[n] / first, 1.2) for n in list(times)[1:]]
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


PLAN = {
    "set_by": "Nurse",
    "quiet": ["23:00", "06:00"],
    "tasks": [
        {"kind": "inner_tube", "every_h": 4},
        {"kind": "cuff_pressure", "every_h": 8},
        {"kind": "suction", "every_h": 6},
        {"kind": "humidity", "every_h": 24, "where": {"device": "hme"}},
        {"kind": "stoma", "times": ["08:00", "20:00"]},
        {"kind": "ties", "times": ["08:00"]},
        {"kind": "mouth_care", "times": ["08:00", "13:00", "20:00"]},
        {"kind": "equipment_check", "every_h": 24, "where": {"device": "suction_machine"}},
    ],
}


def due_list(record: StoredRecord, name: str, repeat: int, times: dict[str, float]) -> Figure:
    """What is due, in a program that is running, to one seek a kind with the bare driver."""
    end = measurement.last_week(record)[1] + MINUTE  # all is written down by then, by a clock that is right
    plan = Entry(
        id=new_id(end, bytes(10)), kind="plan", at=Moment(end - DAY_24_H), recorded_at=end, details=PLAN
    )
    record.append([plan])
    plain = sqlite3.connect(uri_of(record.path, "ro"), uri=True)
    sql = "SELECT * FROM entry WHERE kind = ? ORDER BY at DESC LIMIT 1"
    outlook = Outlook(record)

    def seeks() -> list[object]:
        return [plain.execute(sql, (kind.name,)).fetchone() for kind in ALL]

    assert len(dues(outlook.reading(end), end)) >= 6  # with the cuff down one task can't be
    ratio, mine, floors = measurement.pairs(lambda: dues(outlook.reading(end), end), seeks, repeat)
    plain.close()
    times[name] = statistics.median(mine)
    shown = f"{times[name] * 1e3:.2f} to {statistics.median(floors) * 1e3:.2f} ms"
    return Figure("8", f"due list of {name}, to one seek a kind", ratio, 3, shown)


if __name__ == "__main__":
    sys.exit(main())
