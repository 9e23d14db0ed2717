"""An import may only go down, and each big library has its one room."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.tree import PACKAGE, ROOT, imported, modules, name_of

LINT = "from importlinter.cli import lint_imports_command as run; run()"
STANDARD_ONLY = ("carelog.domain", "carelog.kinds", "carelog.text")
OWN_BELOW = ("carelog.domain", "carelog.kinds", "carelog.text")


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    """Run the import contracts over a copy or the checkout."""
    command = [sys.executable, "-c", LINT, "--no-logo", "--no-cache"]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True)


def test_the_import_contracts_hold() -> None:
    done = lint(ROOT)
    assert done.returncode == 0, done.stdout + done.stderr


def test_every_room_is_a_package_or_the_contracts_would_not_see_it() -> None:
    rooms = {module.parent for module in modules()}
    assert [str(room) for room in sorted(rooms) if not (room / "__init__.py").exists()] == []


BREACHES = {
    "upwards": ("domain", "import carelog.app"),
    "app reaches the store": ("app", "import carelog.store"),
    "store reaches the app": ("store", "import carelog.app.ports"),
    "sheet reaches the store": ("sheet", "import carelog.store"),
    "window reaches the database": ("ui", "import carelog.store"),
    "window reaches the paper": ("ui", "import carelog.sheet"),
    "Qt below the window": ("analysis", "import PySide6.QtCore"),
    "database outside the store": ("app", "import sqlalchemy"),
    "paper outside the sheet": ("ui", "import reportlab"),
    "encryption outside the seal": ("store", "import cryptography"),
    "an envelope that knows kinds": ("seal", "import carelog.kinds"),
}


@pytest.mark.parametrize(("room", "line"), BREACHES.values(), ids=BREACHES.keys())
def test_a_breach_is_caught(tmp_path: Path, room: str, line: str) -> None:
    shutil.copytree(PACKAGE, tmp_path / "carelog", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    (tmp_path / "carelog" / room / "breach.py").write_text(f"{line}\n", encoding="utf-8")
    done = lint(tmp_path)
    assert done.returncode == 1, done.stdout + done.stderr
    assert f"carelog.{room}" in done.stdout
    assert "BROKEN" in done.stdout


@pytest.mark.parametrize(
    "module", [m for m in modules() if name_of(m).startswith(STANDARD_ONLY)], ids=name_of
)
def test_the_bottom_needs_the_standard_library_alone(module: Path) -> None:
    others = {
        name
        for name in imported(module.read_text(encoding="utf-8"))
        if name.partition(".")[0] not in sys.stdlib_module_names and not name.startswith(OWN_BELOW)
    }
    assert not others
