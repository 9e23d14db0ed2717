"""The draft of the open form survives what happens to the program and to the disk."""

import errno
import hashlib
import json
import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from carelog.app.drafts import SLOT, Draft, DraftFile, FormDraft, Unknown, of_moved
from carelog.domain.entry import Entry
from carelog.domain.moment import Moment
from carelog.domain.trouble import Trouble

PRESS = Entry("1", "suction", Moment(7, 60), 8, "Europe/London", "AB", {"passes": 2})
DRAFT = Draft(
    "r.carelog",
    "person",
    (FormDraft("suction", {"passes": "3x", "frothy": True}, "żółty 🙂", tried=PRESS),),
    (PRESS,),
)


def noted(note: str) -> Draft:
    """A draft of one form with this note."""
    return Draft("r", "person", (FormDraft("note", {}, note),))


def note_of(found: Draft | None) -> str:
    """The note of the form that was found."""
    assert found is not None
    (form,) = found.forms
    return form.note


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


def changed(file: DraftFile, change: Callable[[dict[str, Any]], object]) -> None:
    """Write a slot into a draft's file again, with something changed in it and the mark made right."""
    first = next(line for line in file.path.read_bytes().splitlines() if line.strip())
    slot = json.loads(first)
    slot["draft"] = json.loads(slot["draft"])
    change(slot)
    slot["draft"] = json.dumps(slot["draft"])
    slot["mark"] = hashlib.sha256(slot["draft"].encode()).hexdigest()
    file.path.write_bytes(json.dumps(slot).encode())


CHANGES: dict[str, Callable[[dict[str, Any]], object]] = {
    "a newer version": lambda slot: slot.update(version=2),
    "no version": lambda slot: slot.pop("version"),
    "an unknown key in a press": lambda slot: slot["draft"]["presses"][0].update(colour="red"),
    "a missing key": lambda slot: slot["draft"]["presses"][0].pop("by"),
    "a number for a text": lambda slot: slot["draft"]["forms"][0].update(note=7),
    "a list for a form": lambda slot: slot["draft"].update(forms=[[]]),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_a_draft_of_another_kind_is_set_aside_whole_and_never_dropped(
    tmp_path: Path, change: Callable[[dict[str, Any]], object]
) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.write(DRAFT, now=5)
    changed(file, lambda _slot: None)
    assert file.read() == replace(DRAFT, written_at=5)  # the control
    changed(file, change)
    content = file.path.read_bytes()
    with pytest.raises(Unknown):
        file.read()
    aside = file.set_aside()
    assert aside is not None
    assert (aside.read_bytes(), file.path.exists()) == (content, False)
    file.write(DRAFT, now=6)
    assert file.set_aside() != aside


@pytest.mark.parametrize("content", [b"typed by somebody", b"{}", b"\0" * 60, b'{"draft": "x", "mark": "y"}'])
def test_what_cannot_be_read_is_no_empty_draft(tmp_path: Path, content: bytes) -> None:
    file = DraftFile(tmp_path / "draft.json")
    file.path.write_bytes(content)
    with pytest.raises(Unknown):
        file.read()


def test_the_draft_of_a_record_that_was_moved_is_found_by_its_person(tmp_path: Path) -> None:
    here = tmp_path / "here.carelog"
    here.touch()
    gone = DraftFile(tmp_path / "1.json")
    for file, record in ((gone, "gone.carelog"), (DraftFile(tmp_path / "2.json"), str(here))):
        file.write(replace(DRAFT, record=record), now=5)
    found = of_moved(tmp_path, "person")
    assert found is not None
    assert found.path == gone.path
    assert of_moved(tmp_path, "another") is None
    gone.throw_away()
    assert of_moved(tmp_path, "person") is None
