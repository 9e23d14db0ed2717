"""A new file takes its place whole, never another's, and what a dead process left goes away."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from carelog.store.birth import placed


def writes(words: str) -> Callable[[Path], None]:
    """What writes a new file."""

    def write(new: Path) -> None:
        new.write_text(words)

    return write


def test_a_place_that_is_taken_stays_taken(tmp_path: Path) -> None:
    path = tmp_path / "taken"
    path.write_text("mine")
    with pytest.raises(FileExistsError):
        placed(path, writes("other"))
    assert path.read_text() == "mine"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("is_taken", [False, True])
def test_a_disk_without_hard_links_is_served_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, is_taken: bool
) -> None:
    def no_links(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    path = tmp_path / "file"
    if is_taken:
        path.write_text("mine")
        with pytest.raises(FileExistsError):
            placed(path, writes("new"))
    else:
        placed(path, writes("new"))
    assert path.read_text() == ("mine" if is_taken else "new")
    assert list(tmp_path.iterdir()) == [path]


def test_a_failing_maker_leaves_nothing(tmp_path: Path) -> None:
    def fail(_new: Path) -> None:
        raise OSError(5, "Input/output error")

    with pytest.raises(OSError, match="Input"):
        placed(tmp_path / "file", fail)
    assert list(tmp_path.iterdir()) == []


def test_what_a_dead_process_left_is_swept_after_a_day(tmp_path: Path) -> None:
    old, young, other = (
        tmp_path / name
        for name in (".a.carelog.new-0123456789ab", ".b.carelog.new-0123456789ab-journal", ".new-letter")
    )
    for each in (old, young, other):
        each.touch()
    for each in (old, other):
        os.utime(each, (1, 1))
    placed(tmp_path / "file", writes("new"))
    assert {each.name for each in tmp_path.iterdir()} == {"file", young.name, other.name}
