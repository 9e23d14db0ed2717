"""A user's folders and files are closed to everybody else."""

import errno
import os
import stat
from pathlib import Path
from typing import Any

import pytest

from carelog.paths import Places, default_places, make_private, open_private, read_kept, touch_private


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_folders_and_files_are_private(tmp_path: Path) -> None:
    places = Places(tmp_path / "a" / "data", tmp_path / "b" / "config", tmp_path / "c" / "state")
    places.make()
    assert [mode(folder) for folder in (places.data, places.config, places.state)] == [0o700] * 3
    touch_private(places.settings)
    assert mode(places.settings) == 0o600


def test_what_was_open_to_others_is_closed(tmp_path: Path) -> None:
    folder, file = tmp_path / "data", tmp_path / "draft.json"
    folder.mkdir(mode=0o755)
    file.write_text("typed", encoding="utf-8")
    file.chmod(0o644)
    make_private(folder)
    touch_private(file)
    assert (mode(folder), mode(file), file.read_text(encoding="utf-8")) == (0o700, 0o600, "typed")


def test_tests_never_touch_the_real_user(homeless: Path) -> None:
    places = default_places()
    assert all(homeless in folder.parents for folder in (places.data, places.config, places.state))
    assert (places.record.name, places.demo.name) == ("record.carelog", "demo.carelog")


@pytest.mark.parametrize("mode", ["r+b", "wb", "ab"])
def test_a_link_in_the_place_of_an_own_file_is_not_followed(tmp_path: Path, mode: str) -> None:
    letter, link, gone = (tmp_path / name for name in ("letter.txt", "link", "gone"))
    letter.write_text("Dear nurse")
    link.symlink_to(letter)
    gone.symlink_to(tmp_path / "nowhere")
    for each in (link, gone):
        with pytest.raises(OSError, match=r"(?i)link"):
            open_private(each, mode)
    assert letter.read_text() == "Dear nurse"
    assert not (tmp_path / "nowhere").exists()
    open_private(letter, "wb").close()  # the control
    assert letter.read_text() == ""


@pytest.mark.parametrize("kept", ["folder", "pipe", "device", "too long", "fails", "file"])
def test_reading_what_is_kept_leaves_nothing_open(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kept: str
) -> None:
    path, open_, handles = tmp_path / "kept", os.open, list[int]()
    if kept == "folder":
        path.mkdir()
    elif kept == "pipe":
        os.mkfifo(path)
    else:
        path.write_bytes(b"kept" if kept != "too long" else b"far too long")

    def watched(*given: Any) -> int:
        handles.append(open_(*given))
        return handles[-1]

    def fails(*_given: object, **_named: object) -> None:
        raise MemoryError

    monkeypatch.setattr(os, "open", watched)
    if kept == "fails":
        monkeypatch.setattr(os, "fdopen", fails)
    asked = Path("/dev/zero") if kept == "device" else path
    if kept == "file":
        assert read_kept(asked, most=4) == b"kept"
    else:
        with pytest.raises((OSError, MemoryError)):
            read_kept(asked, most=4)
    assert len(handles) == 1
    with pytest.raises(OSError, match="Bad file descriptor"):
        os.fstat(handles[0])


def test_nothing_but_a_file_is_opened_as_an_own_file() -> None:
    with pytest.raises(OSError, match="Invalid argument"):
        open_private(Path("/dev/null"), "ab")


@pytest.mark.skipif(os.name != "posix", reason="Windows keeps rights otherwise")
@pytest.mark.parametrize("code", [errno.EPERM, errno.ENOSYS, errno.ENOTSUP])
def test_a_stick_that_keeps_no_rights_is_written_to_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    def refused(*_given: object, **_named: object) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, "fchmod", refused)
    monkeypatch.setattr(os, "chmod", refused)
    make_private(tmp_path / "stick")
    touch_private(tmp_path / "stick" / "record.carelog")
    assert (tmp_path / "stick" / "record.carelog").exists()
    code = errno.EIO  # the control: a disk that fails is no stick without rights
    with pytest.raises(OSError, match="Input/output"):
        touch_private(tmp_path / "stick" / "record.carelog")
