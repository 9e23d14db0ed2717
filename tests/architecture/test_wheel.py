"""The program installed from its wheel has every module, and finds its fonts."""

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from carelog import resources
from tests.architecture.tree import PACKAGE, ROOT, modules

FONT = "fonts/NotoSans-Regular.ttf"
TRUETYPE = b"\x00\x01\x00\x00"
OPEN_FONT = f"from carelog import resources as r; f = r.find({FONT!r}); print(f, f.read_bytes()[:4].hex())"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel built from a copy, so that the checkout stays as it is."""
    copy = tmp_path_factory.mktemp("source")
    leave = shutil.ignore_patterns("__pycache__")
    for folder in ("carelog", "resources"):
        shutil.copytree(ROOT / folder, copy / folder, ignore=leave)
    for file in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / file, copy)
    command = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(copy / "out"), "."]
    done = subprocess.run(command, cwd=copy, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
    (built,) = (copy / "out").glob("*.whl")
    return built


def test_the_wheel_holds_every_module_and_every_resource(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    assert {module.relative_to(ROOT).as_posix() for module in modules()} <= names
    data = ROOT / "resources"
    files = {file.relative_to(data).as_posix() for file in data.rglob("*") if file.is_file()}
    assert {f"carelog_resources/{name}" for name in files} <= names
    top = {name.partition("/")[0] for name in names}
    assert {name for name in top if not name.endswith(".dist-info")} == {"carelog", "carelog_resources"}


def test_the_installed_program_opens_its_font(wheel: Path, tmp_path: Path) -> None:
    zipfile.ZipFile(wheel).extractall(tmp_path)
    done = subprocess.run(
        [sys.executable, "-P", "-c", OPEN_FONT],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(tmp_path)},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.split() == [str(tmp_path / "carelog_resources" / FONT), TRUETYPE.hex()]


def test_the_checkout_opens_its_font() -> None:
    assert resources.find(FONT) == ROOT / "resources" / FONT
    assert resources.find(FONT).read_bytes()[:4] == TRUETYPE


def test_a_frozen_program_looks_into_its_own_folder(tmp_path: Path) -> None:
    assert resources.locate(PACKAGE, frozen=tmp_path) == tmp_path / "resources"


def test_a_missing_resource_is_one_plain_sentence() -> None:
    with pytest.raises(FileNotFoundError, match=r"^A part of the program is missing: fonts/none\.ttf\. "):
        resources.find("fonts/none.ttf")
