"""A file system that locks no files: the cause is named, and what to do; beside it the same with locks."""

import errno
import os
from pathlib import Path

import pytest

from tests.store.lockless import can_be_told_otherwise, run
from tests.store.making import entry, fresh


@pytest.fixture
def record(tmp_path: Path) -> Path:
    made = fresh(tmp_path / "r.carelog")
    made.append([entry(1)])
    made.close()
    return made.path


@pytest.mark.skipif(not can_be_told_otherwise(), reason="the driver brings its own SQLite")
@pytest.mark.parametrize("cause", [errno.ENOLCK, errno.ENOSYS, errno.ENOTSUP])
@pytest.mark.parametrize("words", [["due"], ["add", "mouth_care"], ["check"]])
def test_without_locks_the_cause_is_named_and_what_to_do(record: Path, cause: int, words: list[str]) -> None:
    before = record.read_bytes()
    status, told = run(cause, words[0], "--record", str(record), *words[1:])
    assert status == 1, os.strerror(cause)
    assert "can't lock files" in told
    assert "Copy the record to a disk of this computer" in told
    assert record.read_bytes() == before


@pytest.mark.parametrize("words", [["due"], ["add", "mouth_care"], ["check"]])
def test_with_locks_the_same_commands_work(record: Path, words: list[str]) -> None:
    """The control."""
    assert run(0, words[0], "--record", str(record), *words[1:]) == (0, "")
