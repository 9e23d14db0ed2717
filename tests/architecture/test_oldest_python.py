"""What the oldest Python that README names reads otherwise than the newer ones."""

import ast
from collections.abc import Iterator

from tests.architecture.tree import modules, name_of


def nothing_as_value(source: str) -> Iterator[str]:
    """The members of enumerations that are an empty tuple: Python 3.11.2 makes another object of it."""
    for node in ast.walk(ast.parse(source)):
        bases = [ast.unparse(base) for base in node.bases] if isinstance(node, ast.ClassDef) else []
        if isinstance(node, ast.ClassDef) and any(base.endswith("Enum") for base in bases):
            for line in node.body:
                if isinstance(line, ast.Assign) and ast.unparse(line.value) == "()":
                    yield f"{node.name}.{ast.unparse(line.targets[0])}"


def test_no_member_of_an_enumeration_is_an_empty_tuple() -> None:
    found = {name_of(each): list(nothing_as_value(each.read_text(encoding="utf-8"))) for each in modules()}
    assert {module: members for module, members in found.items() if members} == {}


def test_a_member_that_is_one_would_be_found() -> None:
    assert list(nothing_as_value("class Span(Enum):\n    DAY = ('date',)\n    TODAY = ()\n")) == [
        "Span.TODAY"
    ]
