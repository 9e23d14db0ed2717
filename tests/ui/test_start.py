"""What the window has imported once its board, and then its dues, are on screen."""

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


BEFORE_THE_FIRST_PAINT = 61
"""The program's own modules. More of them make the start longer: load what isn't seen yet after it."""
LATER = (
    "carelog.store",
    "carelog.sheet",
    "carelog.export",
    "carelog.analysis",
    "carelog.kinds",
    "carelog.domain.kind",
    "carelog.domain.moment",
    "carelog.domain.entry",
)


@pytest.mark.skipif(sys.platform != "linux", reason="memory is read from /proc")
def test_the_board_is_painted_with_few_modules_and_none_that_reads_the_record(tmp_path: Path) -> None:
    modules = started(tmp_path)["modules"]
    assert [name for name in modules if name.startswith(LATER)] == []
    assert "carelog.ui.board.page" in modules
    assert len(modules) <= BEFORE_THE_FIRST_PAINT


@pytest.mark.skipif(sys.platform != "linux", reason="memory is read from /proc")
def test_the_board_is_painted_before_the_enumerations_of_qt_are_made(tmp_path: Path) -> None:
    assert started(tmp_path)["names"] is False


@pytest.mark.skipif(sys.platform != "linux", reason="memory is read from /proc")
def test_an_enumeration_of_qt_that_is_named_too_early_is_noticed(tmp_path: Path) -> None:
    """The control: the same look finds them where one was named."""
    assert started(tmp_path, "import carelog.ui; from PySide6.QtCore import Qt; ")["names"] is True


@pytest.mark.skipif(sys.platform != "linux", reason="memory is read from /proc")
def test_a_module_that_is_loaded_too_early_is_noticed(tmp_path: Path) -> None:
    """The control: the same look finds one of the rules."""
    modules = started(tmp_path, "import carelog.analysis.rules.rule; ")["modules"]
    assert "carelog.analysis.rules.rule" in modules
