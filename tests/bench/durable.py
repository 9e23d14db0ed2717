"""Saving one entry through the logbook, to one commit of SQLAlchemy's object mapper in the same file.

usage: python -m tests.bench.durable [--pairs 400] [--history 20000] [--folder FOLDER]
Both write a row of the same table under the same settings; the logbook also checks, hashes and links it.
"""

import argparse
import os
import statistics
import sys
import tempfile
from itertools import count
from pathlib import Path

from sqlalchemy.orm import Session

from carelog.app.logbook import Logbook
from carelog.domain.entry import new_id
from carelog.domain.moment import DAY_24_H, Instant
from carelog.store.engine import plain_connect, writing
from carelog.store.record import StoredRecord
from carelog.store.rows import row_of
from tests.bench import measurement
from tests.bench.mapped import MappedEntry
from tests.bench.measurement import Figure

LIMIT = 1.5


class Ticking:
    """A clock that moves on by itself."""

    def __init__(self) -> None:
        self._instants = count(measurement.START + 20 * 365 * DAY_24_H, 1_000_000)

    def now(self) -> Instant:
        """The next second."""
        return next(self._instants)

    def zone(self) -> str:
        """A zone."""
        return "Europe/London"


def main() -> int:
    """Measure and print; 0 when the figure holds."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--pairs", type=int, default=400)
    parser.add_argument("--history", type=int, default=20_000)
    parser.add_argument("--folder", type=Path, default=None)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(dir=asked.folder) as folder:
        record = measurement.built(Path(folder) / "record.carelog", asked.history)
        figure = saving(record, asked.pairs)
        record.close()
    return measurement.figures(f"Saving, {asked.history} entries there already", [figure])


def saving(record: StoredRecord, pairs: int) -> Figure:
    """One suction, saved either way in turn."""
    book = Logbook(record, Ticking(), lambda now: new_id(now, os.urandom(10)))
    given = {"route": "tracheal", "colour": "white", "amount": "small", "passes": 2, "catheter_fr": 12}
    engine = writing(record.path, plain_connect)
    since = measurement.START + 30 * 365 * DAY_24_H
    rows = [row_of(each) for each in measurement.history(pairs, seed=1, since=since)]
    mapped = (MappedEntry(**row._asdict(), link="0" * 64, installation=1) for row in rows)

    def floor() -> None:
        with Session(engine) as session, session.begin():
            session.add(next(mapped))

    book.record("suction", given, "AB")
    ratio, mine, floors = measurement.pairs(lambda: book.record("suction", given, "AB"), floor, pairs)
    engine.dispose()
    shown = (
        f"median {statistics.median(mine) * 1e3:.2f} to {statistics.median(floors) * 1e3:.2f} ms, "
        f"99 % {measurement.percentile(mine, 0.99) * 1e3:.1f} to "
        f"{measurement.percentile(floors, 0.99) * 1e3:.1f} ms"
    )
    return Figure("5", "logbook.record, to one commit by the object mapper", ratio, LIMIT, shown)


if __name__ == "__main__":
    sys.exit(main())
