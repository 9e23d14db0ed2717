"""The linters of the test command see a fault when there is one."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.tree import ROOT

CHECKS = {
    "ruff": (["-m", "ruff", "check", "--no-cache", "faulty.py"], "import os\n", "F401"),
    "format": (["-m", "ruff", "format", "--no-cache", "--check", "faulty.py"], "x = {'a':1}\n", "faulty.py"),
    "mypy": (["-m", "mypy", "--strict", "faulty.py"], "def f(x):\n    return x\n", "no-untyped-def"),
}
SOUND = '"""Sound."""\n'


@pytest.mark.parametrize(("command", "fault", "says"), CHECKS.values(), ids=CHECKS.keys())
def test_a_fault_is_seen(tmp_path: Path, command: list[str], fault: str, says: str) -> None:
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    faulty = tmp_path / "faulty.py"
    faulty.write_text(SOUND, encoding="utf-8")
    sound = subprocess.run([sys.executable, *command], cwd=tmp_path, capture_output=True, text=True)
    assert sound.returncode == 0, sound.stdout + sound.stderr
    faulty.write_text(fault, encoding="utf-8")
    seen = subprocess.run([sys.executable, *command], cwd=tmp_path, capture_output=True, text=True)
    assert seen.returncode == 1
    assert says in seen.stdout + seen.stderr
