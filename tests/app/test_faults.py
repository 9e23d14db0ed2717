"""An error that nobody expected leaves its type and place in the log, and no value."""

import sys
import threading
from pathlib import Path

import pytest

from carelog.app.faults import LIMIT, FaultLog, trace, watch


class Still:
    """A clock that stands."""

    def now(self) -> int:
        return 0

    def zone(self) -> str:
        return "UTC"


def fail(secret: str) -> None:
    """Fail with a value in the message."""
    try:
        raise KeyError(secret)
    except KeyError as error:
        raise ValueError(f"cannot use {secret}") from error


def test_the_log_holds_type_and_place_and_no_value(tmp_path: Path) -> None:
    log = FaultLog(tmp_path / "state" / "carelog.log", Still())
    with pytest.raises(ValueError, match="Odette") as caught:
        fail("Odette Farrow")
    log.note(caught.value)
    text = log.path.read_text("ascii")
    assert "ValueError at test_faults.py:" in text
    assert "KeyError" in text
    assert ":fail" in text
    assert "Odette" not in text
    assert str(log.path) in log.sentence()


def test_two_files_make_the_most_there_is(tmp_path: Path) -> None:
    log = FaultLog(tmp_path / "carelog.log", Still())
    log.path.write_text("x" * (LIMIT + 1), "ascii")
    for _ in range(3):
        log.note(ValueError())
    assert len(log.path.read_text("ascii").splitlines()) == 3
    assert sorted(each.name for each in tmp_path.iterdir()) == ["carelog.log", "carelog.log.1"]


def test_a_log_that_cannot_be_written_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    log = FaultLog(tmp_path / "file" / "carelog.log", Still())
    log.note(ValueError())
    assert not log.path.exists()


def test_an_error_in_a_thread_is_told_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    told: list[str] = []
    log = FaultLog(tmp_path / "carelog.log", Still())
    watch(log, told.append)
    thread = threading.Thread(target=fail, args=("secret",))
    thread.start()
    thread.join()
    assert told == [log.sentence()]
    assert "ValueError" in log.path.read_text("ascii")


def test_a_ring_of_causes_ends() -> None:
    error = ValueError()
    error.__cause__ = error
    assert trace(error).count("ValueError") == 5
