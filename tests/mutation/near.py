"""The tests of each layer, and which of them are nearest to a module."""

import ast
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
DISTANCE = 4
"""So many steps from import to import a test may be away."""
ENOUGH = 3
LAYERS = {
    "domain": ("tests/domain", "tests/contract", "tests/exchange", "tests/analysis"),
    "analysis": ("tests/analysis", "tests/flags", "tests/journeys", "tests/detection", "tests/sheet"),
    "store": ("tests/store", "tests/exchange", "tests/faults/test_damage.py"),
}
ABOVE = ("tests/app", "tests/commands", "tests/sheet", "tests/export", "tests/journeys")
"""The tests of the layers above that come without a window."""


def nearest(file: str, layer: str) -> tuple[str, ...]:
    """The test files of the layer with a module's name or import; if few, also those of what imports it."""
    tests = [path for folder in LAYERS[layer] for path in _files(ROOT / folder, "test_*.py")]
    names = {file.removesuffix(".py").replace("/", ".")}
    own = f"test_{Path(file).name}"
    near: list[Path] = []
    for _ in range(DISTANCE):
        near = [path for path in tests if path.name == own or _imports(path, names)]
        if len(near) >= ENOUGH:
            break
        program = [path for path in (ROOT / "carelog").rglob("*.py") if _imports(path, names)]
        names |= {path.relative_to(ROOT).with_suffix("").as_posix().replace("/", ".") for path in program}
    return tuple(path.relative_to(ROOT).as_posix() for path in near)


def all_of(layers: set[str]) -> tuple[str, ...]:
    """All tests of these layers and of those above."""
    own = [folder for layer in LAYERS if layer in layers for folder in LAYERS[layer]]
    return tuple(dict.fromkeys((*own, *ABOVE)))


def _files(place: Path, pattern: str) -> list[Path]:
    return sorted(place.rglob(pattern)) if place.is_dir() else [place]


@cache
def _imported(path: Path) -> frozenset[str]:
    """The modules that a file imports, each also as a part of the package it comes from."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        match node:
            case ast.Import(names=names):
                found |= {each.name for each in names}
            case ast.ImportFrom(module=str(module), names=names):
                found |= {module, *(f"{module}.{each.name}" for each in names)}
    return frozenset(found)


def _imports(path: Path, names: set[str]) -> bool:
    return not names.isdisjoint(_imported(path))
