"""This installation's id is made once."""

import os
from pathlib import Path

from carelog.app.installation import installation_id
from carelog.domain.entry import is_uuid


def test_the_id_is_made_once_and_kept_private(tmp_path: Path) -> None:
    file = tmp_path / "state" / "installation"
    first = installation_id(file)
    assert is_uuid(first)
    assert installation_id(file) == first
    assert os.name != "posix" or file.stat().st_mode & 0o777 == 0o600


def test_a_damaged_id_is_made_anew(tmp_path: Path) -> None:
    file = tmp_path / "installation"
    file.write_bytes(b"\xff nonsense")
    first = installation_id(file)
    assert is_uuid(first)
    assert installation_id(file) == first


def test_where_no_file_can_be_written_care_is_saved_all_the_same(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    assert is_uuid(installation_id(tmp_path / "file" / "installation"))
