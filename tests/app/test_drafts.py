"""The draft of the open form survives what happens to the program and to the disk."""

import errno
import os
from pathlib import Path

import pytest

from carelog.app.drafts import SLOT, Draft, DraftFile
from carelog.domain.entry import Entry
from carelog.domain.moment import Moment
from carelog.domain.trouble import Trouble

DRAFT = Draft(record="r.carelog", kind="suction", fields={"passes": "3x", "frothy": True}, note="żółty 🙂")


def test_what_was_typed_comes_back_valid_or_not(tmp_path: Path) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.open()
    assert file.read() is None
    file.write(DRAFT, now=5)
    found = DraftFile(file.path).read()
    assert found is not None
    assert (found.fields, found.note, found.written_at) == (DRAFT.fields, DRAFT.note, 5)


def test_a_failed_save_keeps_its_id_and_times(tmp_path: Path) -> None:
    tried = Entry("1" * 8, "suction", Moment(7, 60), 8, "Europe/London", "AB", {"passes": 2})
    file = DraftFile(tmp_path / "draft.json")
    file.write(Draft("r", "suction", tried=tried), now=9)
    found = file.read()
    assert found is not None
    assert found.tried == tried


def test_the_newest_of_many_wins_and_the_space_stays_the_same(tmp_path: Path) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.open()
    for number in range(7):
        file.write(Draft("r", "note", note=str(number)), now=number)
    found = file.read()
    assert found is not None
    assert found.note == "6"
    assert file.path.stat().st_size == 2 * SLOT
    assert os.name != "posix" or file.path.stat().st_mode & 0o777 == 0o600


def test_a_torn_write_leaves_the_draft_before(tmp_path: Path) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.open()
    file.write(Draft("r", "note", note="whole"), now=1)
    file.write(Draft("r", "note", note="torn"), now=2)
    content = file.path.read_bytes()
    torn = content.replace(b"torn", b"t\0\0n")
    assert torn != content
    file.path.write_bytes(torn)
    found = DraftFile(file.path).read()
    assert found is not None
    assert found.note == "whole"


def test_a_form_opened_again_goes_on_after_the_draft_that_is_there(tmp_path: Path) -> None:
    first = DraftFile(tmp_path / "draft.json")
    first.open()
    first.write(Draft("r", "note", note="one"), now=1)
    again = DraftFile(first.path)
    again.open()
    again.write(Draft("r", "note", note="two"), now=2)
    found = DraftFile(first.path).read()
    assert found is not None
    assert found.note == "two"


def test_a_long_note_gets_more_room(tmp_path: Path) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.open()
    file.write(Draft("r", "note", note="ż" * SLOT), now=1)
    file.write(Draft("r", "note", note="ż" * SLOT + "!"), now=2)
    found = file.read()
    assert found is not None
    assert found.note.endswith("!")


def test_a_full_disk_still_takes_what_fits_the_reserved_space(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.open()

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("carelog.paths.replace_private", full)
    file.write(Draft("r", "note", note="kept"), now=1)
    found = file.read()
    assert found is not None
    assert found.note == "kept"
    with pytest.raises(Trouble, match="No space left"):
        file.write(Draft("r", "note", note="x" * SLOT), now=2)
    with pytest.raises(Trouble, match="leave the form open"):
        DraftFile(tmp_path / "other.json").open()


def test_a_draft_thrown_away_is_gone(tmp_path: Path) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.write(DRAFT, now=1)
    file.throw_away()
    file.throw_away()
    assert file.read() is None
    assert not file.path.exists()
