"""One window a record; a dead window leaves no lock."""

import errno
import json
import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from carelog.app.lock import Holder, WindowLock
from carelog.paths import Places

HOLD = """
import sys, pathlib, time
from carelog.app.lock import WindowLock
lock = WindowLock(pathlib.Path(sys.argv[1]))
assert lock.take(7) is None
print("held", flush=True)
time.sleep(60)
"""


def test_a_second_window_is_told_who_has_the_record(tmp_path: Path) -> None:
    record = tmp_path / "record.lock"
    first = WindowLock(record)
    assert first.take(5) is None
    assert WindowLock(record).take(6) == Holder(socket.gethostname(), os.getpid(), 5)
    first.release()
    second = WindowLock(record)
    assert second.take(6) is None
    second.release()


def test_a_killed_window_leaves_no_lock(tmp_path: Path) -> None:
    record = tmp_path / "record.lock"
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, str(record)], stdout=subprocess.PIPE, text=True
    ) as window:
        assert window.stdout is not None
        assert window.stdout.readline() == "held\n"
        held = WindowLock(record).take(9)
        assert held == Holder(socket.gethostname(), window.pid, 7)
        assert held.is_here
        window.kill()
        window.wait()
    lock = WindowLock(record)
    assert lock.take(10) is None
    lock.release()


def test_another_computers_lock_is_taken_over_only_when_asked(tmp_path: Path) -> None:
    record = tmp_path / "record.lock"
    lock = WindowLock(record)
    lock.path.write_text(json.dumps({"host": "kitchen", "pid": 1, "since": 3}), "utf-8")
    held = lock.take(5)
    assert held == Holder("kitchen", 1, 3)
    assert not held.is_here
    assert lock.take(5, over=True) is None
    lock.release()


def test_a_damaged_lock_file_is_no_lock(tmp_path: Path) -> None:
    lock = WindowLock(tmp_path / "record.lock")
    lock.path.write_bytes(b"\xff{")
    assert lock.take(5) is None
    lock.release()


def test_a_folder_that_takes_no_lock_stops_nobody_and_says_so(tmp_path: Path) -> None:
    (tmp_path / "none").touch()
    lock = WindowLock(tmp_path / "none" / "record.lock")
    assert lock.take(5) is None
    assert "Open it in one window only" in lock.warning


@pytest.mark.skipif(os.name != "posix", reason="locks of POSIX")
@pytest.mark.parametrize("cause", [errno.ENOLCK, errno.ENOTSUP, errno.ENOSYS])
def test_a_file_system_without_locks_stops_nobody_and_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, cause: int
) -> None:
    def unlockable(*_: object) -> None:
        raise OSError(cause, os.strerror(cause))

    import fcntl

    monkeypatch.setattr(fcntl, "flock", unlockable)
    for _ in range(2):
        lock = WindowLock(tmp_path / "record.lock")
        assert lock.take(5) is None
        assert os.strerror(cause) in lock.warning
    monkeypatch.undo()
    held = WindowLock(tmp_path / "record.lock")
    assert held.take(5) is None
    assert held.warning == ""
    held.release()


def test_the_first_session_has_its_lock_before_there_is_any_folder(tmp_path: Path) -> None:
    places = Places(tmp_path / "data", tmp_path / "config", tmp_path / "state")
    lock = WindowLock(places.lock(places.record))
    assert lock.take(5) is None
    assert WindowLock(places.lock(places.record)).take(6) == Holder(socket.gethostname(), os.getpid(), 5)
    lock.release()


def test_the_lock_lies_in_the_state_folder_and_is_the_same_over_a_link(tmp_path: Path) -> None:
    places = Places(tmp_path / "data", tmp_path / "config", tmp_path / "state")
    stick, link = tmp_path / "stick", tmp_path / "link"
    stick.mkdir()
    link.symlink_to(stick)
    assert places.lock(stick / "r.carelog") == places.lock(link / "r.carelog")
    assert places.lock(stick / "r.carelog") != places.lock(stick / "s.carelog")
    lock = WindowLock(places.lock(stick / "r.carelog"))
    assert lock.take(5) is None
    assert list(stick.iterdir()) == []
    lock.release()


@pytest.mark.skipif(os.name != "posix", reason="links of POSIX")
def test_a_lock_that_leads_to_another_file_leaves_that_as_it_is(tmp_path: Path) -> None:
    letter, lock = tmp_path / "letter.txt", WindowLock(tmp_path / "record.lock")
    letter.write_text("Dear nurse")
    lock.path.symlink_to(letter)
    assert lock.take(5) is None
    lock.release()
    assert (letter.read_text(), lock.warning != "") == ("Dear nurse", True)
