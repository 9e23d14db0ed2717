"""The source tree as the architecture tests read it."""

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
PACKAGE = ROOT / "carelog"


def modules() -> list[Path]:
    """Every module of the program."""
    return sorted(PACKAGE.rglob("*.py"))


def name_of(module: Path) -> str:
    """The dotted name of a module."""
    parts = module.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def functions(source: str) -> Iterator[tuple[str, int]]:
    """Each function of a source text with its number of lines."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node.name, (node.end_lineno or node.lineno) - node.lineno + 1


def imported(source: str) -> set[str]:
    """The full names of all modules that a source text imports, wherever in it."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            names.add(("." * node.level) + (node.module or ""))
    return names
