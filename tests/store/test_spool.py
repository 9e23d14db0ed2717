"""Rows that wait come back as they were, from memory and from the disk."""

from contextlib import closing
from itertools import chain

import pytest

from carelog.store.rows import row_of
from carelog.store.spool import Numbered, Spool
from tests.store.making import change, entry


@pytest.mark.parametrize("in_memory", [0, 2_000_000, 2**30])
def test_rows_come_back_in_order_as_often_as_asked(in_memory: int) -> None:
    rows = [Numbered(n, row_of(entry(n, note="ü\x00" * (n % 50)))) for n in range(2500)]
    rows.append(Numbered(9999, row_of(change(3000, 1))))
    with closing(Spool(in_memory)) as spool:
        for row in rows:
            spool.add(row)
        assert len(spool) == len(rows)
        for _ in range(2):
            assert list(chain.from_iterable(spool.batches())) == rows


def test_large_rows_come_in_small_batches() -> None:
    with closing(Spool()) as spool:
        for n in range(10):
            spool.add(Numbered(n, row_of(entry(n, note="x" * 3_000_000))))
        assert [len(batch) for batch in spool.batches()] == [2] * 5
