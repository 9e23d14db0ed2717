"""A new record for each test."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from carelog.store.record import StoredRecord
from tests.store.making import fresh


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the record lies."""
    return tmp_path / "record.carelog"


@pytest.fixture
def record(path: Path) -> Iterator[StoredRecord]:
    """An empty record whose file isn't made yet."""
    record = fresh(path)
    yield record
    record.close()
