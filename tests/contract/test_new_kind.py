"""A new kind is one module and one line: proved in a copy of the program that gets one."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.tree import ROOT

LEAVE = shutil.ignore_patterns("__pycache__", ".*")
OVER_ALL_KINDS = (
    "tests/contract/test_kinds.py",
    "tests/sheet/test_any_kind.py",
    "tests/ui/test_forms.py",
    "tests/ui/test_glyphs.py",
    "tests/ui/thermos_journey.py",
    "tests/export/thermos_forms.py",
)


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The program and its tests, and a kind more."""
    folder = tmp_path_factory.mktemp("copy")
    for name in ("carelog", "resources", "tests"):
        shutil.copytree(ROOT / name, folder / name, ignore=LEAVE)
    shutil.copy(ROOT / "pyproject.toml", folder)
    shutil.copy(ROOT / "tests" / "contract" / "thermos.py", folder / "carelog" / "kinds" / "thermos.py")
    shutil.copy(ROOT / "tests" / "contract" / "thermos.svg", folder / "resources" / "glyphs" / "thermos.svg")
    kinds = folder / "carelog" / "kinds" / "__init__.py"
    text = kinds.read_text("utf-8")
    text = text.replace(
        "from carelog.text", "from carelog.kinds.thermos import THERMOS\nfrom carelog.text", 1
    )
    kinds.write_text(text.replace("    VISIT,\n", "    VISIT,\n    THERMOS,\n", 1), "utf-8")
    return folder


def test_a_kind_that_is_declared_and_listed_is_asked_for_kept_shown_and_printed(copy: Path) -> None:
    command = [sys.executable, "-m", "pytest", "-n", "0", "-q", "-p", "no:cacheprovider", "-k", "thermos"]
    done = subprocess.run(
        [*command, *OVER_ALL_KINDS],
        cwd=copy,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-1000:]
    assert " passed" in done.stdout
