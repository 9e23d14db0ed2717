"""One window a record; a dead window leaves no lock."""

import json
import os
import socket
import subprocess
import sys
from pathlib import Path

from carelog.app.lock import Holder, WindowLock

HOLD = """
import sys, pathlib, time
from carelog.app.lock import WindowLock
lock = WindowLock(pathlib.Path(sys.argv[1]))
assert lock.take(7) is None
print("held", flush=True)
time.sleep(60)
"""


def test_a_second_window_is_told_who_has_the_record(tmp_path: Path) -> None:
    record = tmp_path / "record.carelog"
    first = WindowLock(record)
    assert first.take(5) is None
    assert WindowLock(record).take(6) == Holder(socket.gethostname(), os.getpid(), 5)
    first.release()
    second = WindowLock(record)
    assert second.take(6) is None
    second.release()


def test_a_killed_window_leaves_no_lock(tmp_path: Path) -> None:
    record = tmp_path / "record.carelog"
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
    record = tmp_path / "record.carelog"
    lock = WindowLock(record)
    lock.path.write_text(json.dumps({"host": "kitchen", "pid": 1, "since": 3}), "utf-8")
    held = lock.take(5)
    assert held == Holder("kitchen", 1, 3)
    assert not held.is_here
    assert lock.take(5, over=True) is None
    lock.release()


def test_a_damaged_lock_file_is_no_lock(tmp_path: Path) -> None:
    lock = WindowLock(tmp_path / "record.carelog")
    lock.path.write_bytes(b"\xff{")
    assert lock.take(5) is None
    lock.release()


def test_a_folder_without_place_for_a_lock_stops_nobody(tmp_path: Path) -> None:
    assert WindowLock(tmp_path / "none" / "record.carelog").take(5) is None
