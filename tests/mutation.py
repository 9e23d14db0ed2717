"""Changes random lines of the program, one at a time, and lists the changes that no test notices.

usage: python -m tests.mutation [--lines 50] [--seed 1] [--patience 900] [--near]
       [--layer domain, analysis or store]
Works in a copy. First the tests of each layer must pass there unchanged. A change that makes them hang is
noticed. What survives is either a gap in the tests or a change that changes nothing; only a reader can tell.
Each change is first shown to the tests that import the changed module, or what imports it, and then to all of
the layer; with `--near` to the former alone, in a tenth of the time: another test may notice what they don't.
"""

import argparse
import ast
import copy
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
DISTANCE = 4
"""So many steps from import to import a test may be away."""
ENOUGH = 3
COPIED = ("carelog", "resources", "packaging", "tests", "pyproject.toml", "README.md", "DEVELOPERS.md")
LAYERS = {
    "domain": ("tests/domain", "tests/contract", "tests/exchange", "tests/analysis"),
    "analysis": ("tests/analysis", "tests/flags", "tests/journeys", "tests/detection", "tests/sheet"),
    "store": ("tests/store", "tests/exchange", "tests/faults/test_damage.py"),
}
COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
}
RECKONED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.FloorDiv,
    ast.FloorDiv: ast.Mult,
    ast.Div: ast.Mult,
}


@dataclass(frozen=True, slots=True)
class Mutation:
    """One small change of one place in a file."""

    file: str
    line: int
    before: str
    after: str
    changed: str
    """The whole file, changed."""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}  {self.before}  →  {self.after}"


def mutations(file: str, source: str, line: int = 0) -> Iterator[Mutation]:
    """Every small change of a module, or of one of its lines."""
    for node in ast.walk(ast.parse(source)):
        if line and getattr(node, "lineno", 0) != line:
            continue
        for other in _others(node):
            before = ast.get_source_segment(source, node)
            if before is None or "\n" in before:
                continue
            after = ast.unparse(ast.fix_missing_locations(other))
            if isinstance(other, ast.expr):
                after = f"({after})"
            yield Mutation(file, node.lineno, before, after, _replaced(source, node, after))  # type: ignore[attr-defined]


def _others(node: ast.AST) -> Iterator[ast.stmt | ast.expr]:
    """What may stand in a node's place."""
    other = copy.deepcopy(node)
    match other:
        case ast.Compare(ops=[operator]) if type(operator) in COMPARED:
            other.ops = [COMPARED[type(operator)]()]
            yield other
        case ast.BoolOp():
            other.op = ast.Or() if isinstance(other.op, ast.And) else ast.And()
            yield other
        case ast.BinOp() if type(other.op) in RECKONED:
            other.op = RECKONED[type(other.op)]()
            yield other
        case ast.UnaryOp(op=ast.Not()):
            yield other.operand
        case ast.Constant(value=bool()):
            yield ast.Constant(not other.value)
        case ast.Constant(value=int() as number):
            yield ast.Constant(number + 1)
        case ast.Return(value=ast.expr() as value) if ast.unparse(value) != "None":
            yield ast.Return(ast.Constant(None))


def _replaced(source: str, node: ast.AST, after: str) -> str:
    lines = source.encode().splitlines(keepends=True)
    number = node.lineno - 1  # type: ignore[attr-defined]
    line = lines[number]
    start, end = node.col_offset, node.end_col_offset  # type: ignore[attr-defined]
    lines[number] = line[:start] + after.encode() + line[end:]
    return b"".join(lines).decode()


def chosen(count: int, seed: int, layers: list[str]) -> list[Mutation]:
    """One change on each of so many random lines of these layers."""
    paths = [path for layer in layers for path in sorted((ROOT / "carelog" / layer).rglob("*.py"))]
    sources = {path.relative_to(ROOT).as_posix(): path.read_text(encoding="utf-8") for path in paths}
    places = [(file, n) for file, source in sources.items() for n in range(1, source.count("\n") + 1)]
    chance = random.Random(seed)
    found: list[Mutation] = []
    chance.shuffle(places)
    while places and len(found) < count:
        file, line = places.pop()
        if there := list(mutations(file, sources[file], line)):
            found.append(chance.choice(there))
    return found


def layer_of(mutation: Mutation) -> str:
    """The layer that a change is in."""
    return mutation.file.split("/")[1]


def nearest(mutation: Mutation) -> tuple[str, ...]:
    """The test files of the layer that bear its name or import it; if few, also those of what imports it."""
    tests = [path for folder in LAYERS[layer_of(mutation)] for path in _files(ROOT / folder, "test_*.py")]
    names = {mutation.file.removesuffix(".py").replace("/", ".")}
    own = f"test_{Path(mutation.file).name}"
    near: list[Path] = []
    for _ in range(DISTANCE):
        near = [path for path in tests if path.name == own or _imports(path, names)]
        if len(near) >= ENOUGH:
            break
        program = [path for path in (ROOT / "carelog").rglob("*.py") if _imports(path, names)]
        names |= {path.relative_to(ROOT).with_suffix("").as_posix().replace("/", ".") for path in program}
    return tuple(path.relative_to(ROOT).as_posix() for path in near)


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


def is_noticed(folder: Path, tests: Sequence[str], patience: int) -> bool:
    """Whether one of the tests fails in this copy, or none comes to an end."""
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-n",
        "0",
        "-x",
        "-q",
        "-p",
        "no:cacheprovider",
        *tests,
    ]
    surroundings = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1", "QT_QPA_PLATFORM": "offscreen"}
    try:
        done = subprocess.run(command, cwd=folder, env=surroundings, capture_output=True, timeout=patience)
    except subprocess.TimeoutExpired:
        return True
    return done.returncode != 0


def main() -> int:
    """Try the changes; 1 when any survived."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--lines", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--patience", type=int, default=900)
    parser.add_argument("--layer", choices=LAYERS, action="append")
    parser.add_argument("--near", action="store_true")
    asked = parser.parse_args()
    found = chosen(asked.lines, asked.seed, asked.layer or list(LAYERS))
    with tempfile.TemporaryDirectory() as room:
        folder = Path(room)
        for name in COPIED:
            _copy(ROOT / name, folder / name)
        for layer in sorted({layer_of(each) for each in found}):
            tests = sorted({test for each in found if layer_of(each) == layer for test in nearest(each)})
            if is_noticed(folder, tests if asked.near else LAYERS[layer], asked.patience):
                sys.exit(
                    f"The tests of {layer} don't pass unchanged in {asked.patience} s: nothing can be said."
                )
        survivors = [each for each in found if not _tried(folder, each, asked.patience, asked.near)]
    print(f"{len(found)} changes, {len(survivors)} survived:")
    print("\n".join(f"  {each}" for each in survivors))
    return int(bool(survivors))


def _copy(source: Path, target: Path) -> None:
    if source.is_dir():
        shutil.copytree(source, target, ignore=shutil.ignore_patterns("__pycache__"))
    else:
        shutil.copy(source, target)


def _tried(folder: Path, mutation: Mutation, patience: int, is_near: bool) -> bool:
    path, begun = folder / mutation.file, time.monotonic()
    kept = path.read_text(encoding="utf-8")
    path.write_text(mutation.changed, encoding="utf-8")
    try:
        near = nearest(mutation)
        noticed = bool(near) and is_noticed(folder, near, patience)
        if not noticed and not is_near:
            noticed = is_noticed(folder, LAYERS[layer_of(mutation)], patience)
    finally:
        path.write_text(kept, encoding="utf-8")
    word = "noticed" if noticed else "SURVIVED"
    print(f"{word:8} {time.monotonic() - begun:5.0f} s  {mutation}", flush=True)
    return noticed


if __name__ == "__main__":
    sys.exit(main())
