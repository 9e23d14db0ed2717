"""What the window has imported once its board and dues are on screen."""

import json
import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from tests.bench import process

START = "import sys; sys.argv[1:] = ['start', {record!r}]; from tests.bench.shown import main; main()"


def started(folder: Path, before: str = "") -> dict[str, Any]:
    """What a real window in a fresh process tells; `before` is run first."""
    record = folder / "record.carelog"
    process.household(record, 60)
    folders = dict.fromkeys(("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME"), str(folder))
    more = {"QT_QPA_PLATFORM": "offscreen", "BENCH_START": str(time.monotonic_ns())}
    command = [sys.executable, "-c", before + START.format(record=str(record))]
    done = subprocess.run(
        command, env={**os.environ, **folders, **more}, capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return found


@pytest.mark.skipif(sys.platform != "linux", reason="memory is read from /proc")
def test_a_started_window_has_imported_nothing_for_paper_or_pictures(tmp_path: Path) -> None:
    assert started(tmp_path)["unwanted"] == []


@pytest.mark.skipif(sys.platform != "linux", reason="memory is read from /proc")
def test_an_import_of_such_a_library_is_noticed(tmp_path: Path) -> None:
    """The control: the same look finds one that was imported."""
    assert started(tmp_path, "import PIL; ")["unwanted"] == ["PIL"]
