"""No two modules need each other: an import inside a function puts off a circle, and doesn't open it."""

import ast
from collections.abc import Iterator, Mapping
from graphlib import CycleError, TopologicalSorter

import pytest

from tests.architecture.tree import modules, name_of


def run(node: ast.AST) -> Iterator[ast.AST]:
    """All that is run of a source, sooner or later: not what is only there for types."""
    for each in ast.iter_child_nodes(node):
        if isinstance(each, ast.If) and ast.unparse(each.test) == "TYPE_CHECKING":
            yield from (inner for other in each.orelse for inner in (other, *run(other)))
        else:
            yield each
            yield from run(each)


def needs(source: str, known: set[str]) -> set[str]:
    """The modules of the program that a source imports, wherever in it."""
    found: set[str] = set()
    for node in run(ast.parse(source)):
        if isinstance(node, ast.ImportFrom):
            whole = {f"{node.module}.{alias.name}" for alias in node.names}
            found |= (whole & known) or {str(node.module)}
    return found & known


def circle(sources: Mapping[str, str]) -> list[str]:
    """Modules that need each other, the first also as the last; none: there is no circle."""
    try:
        TopologicalSorter({name: needs(source, set(sources)) for name, source in sources.items()}).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def test_no_modules_need_each_other() -> None:
    assert circle({name_of(each): each.read_text(encoding="utf-8") for each in modules()}) == []


@pytest.mark.parametrize("other", ["from a.one import x", "def f() -> None:\n    from a import one"])
def test_a_circle_is_found_also_where_a_function_puts_it_off(other: str) -> None:
    assert circle({"a.one": "from a.other import y", "a.other": other}) != []


def test_what_is_there_for_types_alone_makes_none() -> None:
    other = "if TYPE_CHECKING:\n    from a.one import X"
    assert circle({"a.one": "from a.other import y", "a.other": other}) == []
