"""A process that saves entries one after another and tells each id once it is durable.

usage: python -m tests.faults.writer FILE START [default | eager]
Two controls: `default` saves under the settings that SQLAlchemy has by itself, `eager` tells before it saves.
"""

import sys
import time
from itertools import count
from pathlib import Path

import sqlalchemy as sa

from carelog.domain.trouble import Trouble
from carelog.store.rows import INSERT, PLACES, row_of
from tests.store.making import entry, fresh


def by_the_store(path: Path, start: int) -> None:
    """As the program saves."""
    record = fresh(path)
    for number in count(start):
        made = entry(number, note="n" * (number % 700))
        record.append([made])
        print(made.id, flush=True)


def by_default(path: Path, start: int) -> None:
    """As it would save if nobody set anything."""
    engine = sa.create_engine(f"sqlite:///{path}")
    for number in count(start):
        made = entry(number, note="n" * (number % 700))
        with engine.begin() as connection:
            connection.exec_driver_sql(INSERT + PLACES, (*row_of(made), "0" * 64, 1))
        print(made.id, flush=True)


def eagerly(path: Path, start: int) -> None:
    """Tell first, save a moment later."""
    record = fresh(path)
    for number in count(start):
        made = entry(number)
        print(made.id, flush=True)
        time.sleep(0.01)
        record.append([made])


WAYS = {"default": by_default, "eager": eagerly}


def main() -> int:
    """Save until the disk fails or somebody ends us."""
    path, start = Path(sys.argv[1]), int(sys.argv[2])
    try:
        WAYS.get("".join(sys.argv[3:]), by_the_store)(path, start)
    except (Trouble, sa.exc.SQLAlchemyError, OSError):
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
