"""What SQLite calls a failing disk is told as what it is: broken, full, or a share of it that is used up."""

import errno
import os
import sqlite3
import subprocess
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


ASKED = pytest.mark.skipif(
    not hasattr(os, "O_TMPFILE"), reason="only Linux can be asked without leaving a file"
)


@ASKED
@pytest.mark.parametrize("room", [0, 20_480])
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
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, words: str, room: int
) -> None:
    """As a disk does: what doesn't fit whole is taken in part, and only the write after it fails."""
    left = room

    def write(_handle: int, content: bytes) -> int:
        nonlocal left
        if not number:
            return min(len(content), 4096)
        if not left:
            raise OSError(number, os.strerror(number))
        taken = min(left, len(content))
        left -= taken
        return taken

    monkeypatch.setattr(os, "write", write)
    assert words in trouble_of(failed(), tmp_path / "record.carelog").sentence
    assert list(tmp_path.iterdir()) == []


@ASKED
@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can mount a disk")
@pytest.mark.parametrize("room", [0, 20_480])
def test_a_real_disk_with_less_room_than_is_asked_for_is_full(tmp_path: Path, room: int) -> None:
    mount = ["mount", "-t", "tmpfs", "-o", "size=256k", "small", str(tmp_path)]
    if subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("nothing can be mounted here")
    try:
        assert "The disk failed" in trouble_of(failed(), tmp_path / "record.carelog").sentence
        (tmp_path / "filling").write_bytes(bytes((256 << 10) - room))
        assert "The disk is full." in trouble_of(failed(), tmp_path / "record.carelog").sentence
    finally:
        subprocess.run(["umount", str(tmp_path)], check=True)
