"""A record on a network share or in a synced folder is warned about; any other place isn't."""

import errno
import os
from pathlib import Path

import pytest

from carelog.store.place import SHARE, SYNCED, knows_locks, warning

MOUNTS = """\
/dev/sda1 / ext4 rw 0 0
server:/care /net/care nfs4 rw 0 0
//nas/home /net/old\\040share cifs rw 0 0
/dev/sdb1 /net/care/stick vfat rw 0 0
odd
"""


@pytest.fixture
def mounts(tmp_path: Path) -> Path:
    """What the system says about its disks."""
    file = tmp_path / "mounts"
    file.write_text(MOUNTS)
    return file


@pytest.mark.parametrize(
    ("record", "words"),
    [
        ("/users/anna/record.carelog", ""),
        ("/net/care/record.carelog", SHARE),
        ("/net/care/stick/record.carelog", ""),
        ("/net/old share/record.carelog", SHARE),
        ("/net/careful/record.carelog", ""),
        ("/users/anna/OneDrive - Home/care/record.carelog", SYNCED),
        ("/users/anna/Dropbox/record.carelog", SYNCED),
        ("/users/anna/drops/dropbox.carelog", ""),
    ],
)
def test_the_place_decides(record: str, words: str, mounts: Path) -> None:
    assert warning(Path(record), mounts) == words


def test_a_folder_that_is_marked_as_synced_is_known(tmp_path: Path, mounts: Path) -> None:
    (tmp_path / ".stfolder").mkdir()
    assert warning(tmp_path / "care" / "record.carelog", mounts) == SYNCED


def test_the_real_system_can_be_asked(tmp_path: Path) -> None:
    assert warning(tmp_path / "record.carelog") == ""
    assert warning(tmp_path / "record.carelog", tmp_path / "none") == ""


@pytest.mark.skipif(os.name != "posix", reason="Windows always locks")
@pytest.mark.parametrize(
    ("answer", "knows"), [(0, True), (errno.EAGAIN, True), (errno.EACCES, True), (errno.ENOLCK, False)]
)
def test_a_lock_that_another_program_holds_is_told_from_none_that_can_be_had(
    answer: int, knows: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def lock(*_given: object) -> None:
        if answer:
            raise OSError(answer, os.strerror(answer))

    record = tmp_path / "record.carelog"
    record.touch()
    monkeypatch.setattr("fcntl.lockf", lock)
    assert knows_locks(record) is knows
