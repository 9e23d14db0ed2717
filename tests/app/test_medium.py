"""The second medium is the one that was chosen, wherever it is plugged in."""

from pathlib import Path

import pytest

from carelog.app import medium
from carelog.domain.trouble import Trouble


def test_the_chosen_medium_is_found_again_at_another_place(tmp_path: Path) -> None:
    stick, other = tmp_path / "stick", tmp_path / "other"
    stick.mkdir()
    other.mkdir()
    identity = medium.choose(stick)
    medium.choose(other)
    moved = stick.rename(tmp_path / "moved")
    assert medium.find(identity, [tmp_path / "none", other, moved]) == moved


def test_no_other_medium_is_taken(tmp_path: Path) -> None:
    assert medium.find("", [tmp_path]) is None
    assert medium.find(medium.choose(tmp_path), [tmp_path / "none"]) is None


def test_choosing_twice_keeps_its_id(tmp_path: Path) -> None:
    assert medium.choose(tmp_path) == medium.choose(tmp_path)


def test_a_medium_that_takes_no_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(Trouble, match="Choose another"):
        medium.choose(tmp_path / "none")


def test_places_to_look_are_the_systems_own() -> None:
    assert Path("D:\\") in medium.mounted({}, "win32")
    assert all(each.is_dir() for each in medium.mounted({"USER": "anna"}, "linux"))


def test_a_mark_that_leads_elsewhere_is_replaced_and_not_written_through(tmp_path: Path) -> None:
    letter, stick = tmp_path / "letter.txt", tmp_path / "stick"
    letter.write_text("Dear nurse")
    stick.mkdir()
    (stick / medium.NAME).symlink_to(letter)
    assert medium.identity_of(stick) == ""
    identity = medium.choose(stick)
    assert (letter.read_text(), medium.identity_of(stick)) == ("Dear nurse", identity)


def test_a_folder_for_copies_that_leads_elsewhere_is_refused(tmp_path: Path) -> None:
    assert medium.copies_on(tmp_path) == tmp_path / medium.FOLDER
    (tmp_path / medium.FOLDER).symlink_to(tmp_path)
    with pytest.raises(Trouble, match="is a link"):
        medium.copies_on(tmp_path)
