"""The draft of the open form survives what happens to the program and to the disk."""

import errno
import os
from dataclasses import replace
from pathlib import Path

import pytest

from carelog.app.drafts import SLOT, Draft, DraftFile
from carelog.domain.trouble import Trouble

DRAFT = Draft(
    "r.carelog",
    [{"kind": "suction", "typed": {"passes": "3x", "frothy": True}, "note": "żółty 🙂"}],
    [{"id": "1", "at": {"instant": 7, "offset": 60}}],
)


def noted(note: str) -> Draft:
    """A draft of one form with this note."""
    return Draft("r", [{"note": note}])


def note_of(found: Draft | None) -> str:
    """The note of the form that was found."""
    assert found is not None
    (form,) = found.forms
    return str(form["note"])


def test_what_was_typed_comes_back_valid_or_not(tmp_path: Path) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.open()
    assert file.read() is None
    file.write(DRAFT, now=5)
    found = DraftFile(file.path).read()
    assert found is not None
    assert found == replace(DRAFT, written_at=5)


def test_the_newest_of_many_wins_and_the_space_stays_the_same(tmp_path: Path) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.open()
    for number in range(7):
        file.write(noted(str(number)), now=number)
    assert note_of(file.read()) == "6"
    assert file.path.stat().st_size == 2 * SLOT
    assert os.name != "posix" or file.path.stat().st_mode & 0o777 == 0o600


def test_a_torn_write_leaves_the_draft_before(tmp_path: Path) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.open()
    file.write(noted("whole"), now=1)
    file.write(noted("torn"), now=2)
    content = file.path.read_bytes()
    torn = content.replace(b"torn", b"t\0\0n")
    assert torn != content
    file.path.write_bytes(torn)
    assert note_of(DraftFile(file.path).read()) == "whole"


def test_a_form_opened_again_goes_on_after_the_draft_that_is_there(tmp_path: Path) -> None:
    first = DraftFile(tmp_path / "draft.json")
    first.open()
    first.write(noted("one"), now=1)
    again = DraftFile(first.path)
    again.open()
    again.write(noted("two"), now=2)
    assert note_of(DraftFile(first.path).read()) == "two"


def test_a_long_note_gets_more_room(tmp_path: Path) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.open()
    file.write(noted("ż" * SLOT), now=1)
    file.write(noted("ż" * SLOT + "!"), now=2)
    assert note_of(file.read()).endswith("!")


def test_a_full_disk_still_takes_what_fits_the_reserved_space(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.open()

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("carelog.paths.replace_private", full)
    file.write(noted("kept"), now=1)
    assert note_of(file.read()) == "kept"
    with pytest.raises(Trouble, match="No space left"):
        file.write(noted("x" * SLOT), now=2)
    with pytest.raises(Trouble, match="leave the form open"):
        DraftFile(tmp_path / "other.json").open()


def test_a_draft_thrown_away_is_gone(tmp_path: Path) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.write(DRAFT, now=1)
    file.throw_away()
    file.throw_away()
    assert file.read() is None
    assert not file.path.exists()
