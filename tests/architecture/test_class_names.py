"""One name, one class: who reads a name anywhere in the program knows which is meant."""

import ast
from collections import defaultdict
from collections.abc import Iterable
from pathlib import Path

from tests.architecture.tree import modules, name_of

TWICE: dict[str, str] = {}
"""Names that may stand twice, each with the reason."""


def defined_twice(sources: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    """The class names that more than one module (or one module twice) defines, with where."""
    found: defaultdict[str, list[str]] = defaultdict(list)
    for module, source in sources:
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.ClassDef):
                found[node.name].append(module)
    return {name: places for name, places in found.items() if len(places) > 1}


def read(module: Path) -> tuple[str, str]:
    """A module's name and its text."""
    return name_of(module), module.read_text(encoding="utf-8")


def test_no_class_name_stands_twice_in_the_program() -> None:
    twice = defined_twice(map(read, modules()))
    assert {name: places for name, places in twice.items() if name not in TWICE} == {}
    assert twice.keys() >= TWICE.keys()


def test_a_name_that_two_modules_give_a_class_would_be_found() -> None:
    sources = [("one", "class Reading:\n    pass\n"), ("other", "class Reading(Held):\n    pass\n")]
    assert defined_twice(sources) == {"Reading": ["one", "other"]}
