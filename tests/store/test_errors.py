"""What SQLite calls a failing disk is told as what it is: broken, full, or a share of it that is used up."""

import errno
import os
import sqlite3
from pathlib import Path

import pytest

from carelog.store.errors import trouble_of


def failed() -> sqlite3.Error:
    """SQLite's own word for a write that failed for any reason but a full disk."""
    error = sqlite3.OperationalError("disk I/O error")
    error.sqlite_errorname = "SQLITE_IOERR_WRITE"
    return error


@pytest.mark.parametrize("number", [errno.ENOTCONN, errno.ENODEV, errno.ENXIO, errno.ESTALE])
def test_a_disk_that_was_pulled_out_is_said_to_be_gone(tmp_path: Path, number: int) -> None:
    told = trouble_of(OSError(number, os.strerror(number)), tmp_path / "record.carelog").sentence
    assert told.startswith("The disk that holds “record.carelog” is gone. Nothing was saved.")


@pytest.mark.skipif(not hasattr(os, "O_TMPFILE"), reason="only Linux can be asked without leaving a file")
@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.EDQUOT, "Your share of this disk is used up."),
        (errno.ENOSPC, "The disk is full."),
        (errno.EIO, "The disk failed while “record.carelog”"),
        (0, "The disk failed while “record.carelog”"),
    ],
)
def test_a_disk_that_takes_no_more_is_told_from_one_that_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, words: str
) -> None:
    def write(_handle: int, _content: bytes) -> int:
        if number:
            raise OSError(number, os.strerror(number))
        return len(_content)

    monkeypatch.setattr(os, "write", write)
    assert words in trouble_of(failed(), tmp_path / "record.carelog").sentence
    assert list(tmp_path.iterdir()) == []
