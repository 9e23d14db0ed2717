"""A connection that a test leaves open fails the run and is told with its test; a closed one does not."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.tree import ROOT

LEAVING = """
import sqlite3

def test_leaves_it():
    connection = sqlite3.connect(":memory:")
    connection.{ends}()
"""


@pytest.mark.parametrize(("ends", "status"), [("rollback", 1), ("close", 0)])
def test_a_connection_that_is_left_open_is_told_with_its_test(tmp_path: Path, ends: str, status: int) -> None:
    shutil.copy(ROOT / "tests" / "unclosed.py", tmp_path / "conftest.py")
    (tmp_path / "test_one.py").write_text(LEAVING.format(ends=ends), encoding="utf-8")
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-q",
        "-p",
        "no:cacheprovider",
        "-p",
        "no:xdist",
        "-W",
        "error",
    ]
    done = subprocess.run([*command, "."], cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode == status, done.stdout
    assert ("opened in test_one.py::test_leaves_it" in done.stdout + done.stderr) == bool(status)
