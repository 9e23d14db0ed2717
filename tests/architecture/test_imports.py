"""What starts with the program stays light: heavy libraries wait until somebody needs them."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.tree import PACKAGE, modules, name_of

NEVER = {"numpy", "pandas", "matplotlib", "scipy"}
HEAVY = NEVER | {"PySide6", "sqlalchemy", "reportlab", "PIL", "pypdfium2", "uharfbuzz"}
ALLOWED = {
    "ui": {"PySide6"},
    "sheet": {"reportlab", "PIL", "uharfbuzz"},
    "commands": HEAVY - NEVER,  # each is imported when it is asked for, never by the window's start
}


def loaded(*names: str) -> set[str]:
    """The top-level modules that a new Python holds after importing these."""
    code = f"import importlib, json, sys\nfor name in {names!r}: importlib.import_module(name)\n"
    code += "print(json.dumps(sorted({name.partition('.')[0] for name in sys.modules})))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return set(json.loads(done.stdout))


def loaded_by(*words: str) -> set[str]:
    """The top-level modules that a command's process holds at its end."""
    code = f"import json, sys\nfrom carelog.main import main\nmain({list(words)!r})\n"
    code += "print(json.dumps(sorted({name.partition('.')[0] for name in sys.modules})))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return set(json.loads(done.stdout.splitlines()[-1]))


ROOMS = sorted({name_of(module).split(".")[1] for module in modules() if module.parent != PACKAGE})
FRONT = sorted(
    name_of(module) for module in modules() if module.parent == PACKAGE and module.stem != "__main__"
)


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_loads_only_its_own_library(room: str) -> None:
    names = [name_of(module) for module in modules() if name_of(module).split(".")[1:2] == [room]]
    assert not loaded(*names) & (HEAVY - ALLOWED.get(room, set()))


def test_a_command_needs_no_window() -> None:
    names = [name_of(module) for module in modules() if module.parent == PACKAGE / "commands"]
    assert "PySide6" not in loaded(*(name for name in names if not name.endswith(".window")))


def test_a_command_that_only_reads_does_without_what_writes(tmp_path: Path) -> None:
    """The import of SQLAlchemy alone takes longer than all the rest of `carelog due`."""
    record = f"--record={tmp_path / 'record.carelog'}"
    assert "sqlalchemy" in loaded_by("add", record, "mouth_care")  # the control
    for command in ("due", "flags", "kit"):
        assert not loaded_by(command, record) & HEAVY


def test_starting_loads_no_heavy_library() -> None:
    assert not loaded(*FRONT) & HEAVY


def test_a_heavy_library_would_be_seen() -> None:
    assert "numpy" in loaded("carelog", "numpy") & HEAVY
