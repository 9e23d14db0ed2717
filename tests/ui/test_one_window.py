"""One window a record, from the first start ever on; real processes, as two presses on an icon make them."""

import os
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

START = [sys.executable, "-m", "carelog"]
PATIENCE = 60  # seconds


@pytest.fixture
def environment(tmp_path: Path) -> dict[str, str]:
    homes = {f"XDG_{name}_HOME": str(tmp_path / name.lower()) for name in ("DATA", "CONFIG", "STATE")}
    return {**os.environ, **homes, "TMPDIR": str(tmp_path), "QT_QPA_PLATFORM": "offscreen"}


@pytest.fixture
def first(environment: dict[str, str], tmp_path: Path) -> Iterator[subprocess.Popen[bytes]]:
    """A window of a household that has nothing yet, not even a folder."""
    with subprocess.Popen(START, env=environment) as window:
        try:
            until = time.monotonic() + PATIENCE
            while not any(tmp_path.glob("carelog-*")) and time.monotonic() < until:
                time.sleep(0.05)
            yield window
        finally:
            window.kill()


def test_a_second_start_of_the_first_session_shows_the_first_window_and_ends(
    first: subprocess.Popen[bytes], environment: dict[str, str], tmp_path: Path
) -> None:
    assert not (tmp_path / "data" / "carelog" / "record.carelog").exists()
    assert subprocess.run(START, env=environment, timeout=PATIENCE).returncode == 0
    assert first.poll() is None


def test_a_start_on_another_record_opens_a_window_of_its_own(
    first: subprocess.Popen[bytes], environment: dict[str, str], tmp_path: Path
) -> None:
    """The control."""
    other = [*START, "--record", str(tmp_path / "other.carelog")]
    with subprocess.Popen(other, env=environment) as second:
        with pytest.raises(subprocess.TimeoutExpired):
            second.wait(8)
        second.kill()
    assert first.poll() is None
