"""No logic reads sentences made for people: they change with the language."""

import ast
from collections.abc import Iterator

import pytest

from tests.architecture.tree import ROOT, modules

READING = ("endswith", "startswith", "removeprefix", "removesuffix", "index", "find", "split", "partition")


def said(node: ast.AST) -> bool:
    """Whether an expression holds words that are said."""
    return any(
        isinstance(each, ast.Call) and isinstance(each.func, ast.Name) and each.func.id == "say"
        for each in ast.walk(node)
    )


# Whether the language is written from right to left is asked of its own catalogue; what somebody looks for is
# looked for in the words that the same person reads; a card of the record is known by its words alone.
ASKED = {
    "carelog/text.py",
    "carelog/analysis/seeking.py",
    "carelog/ui/timeline/seeker.py",
    "carelog/app/readymade.py",
}


def readings(source: str) -> Iterator[int]:
    """The lines at which words that are said are searched, cut or compared."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            is_reading = node.func.attr in READING
            if is_reading and (said(node.func.value) or any(map(said, node.args))):
                yield node.lineno
        if isinstance(node, ast.Compare) and any(map(said, (node.left, *node.comparators))):
            yield node.lineno


def test_no_logic_reads_words_that_are_said() -> None:
    found = {
        f"{path.relative_to(ROOT)}:{line}"
        for path in modules()
        if str(path.relative_to(ROOT)) not in ASKED
        for line in readings(path.read_text(encoding="utf-8"))
    }
    assert found == set()


@pytest.mark.parametrize(
    "source",
    [
        "why.endswith(say(CLOSING))",
        "say(title) == word",
        "line.removeprefix(say(label))",
        "say(a).split()[-1]",
    ],
)
def test_a_sentence_that_is_read_is_found(source: str) -> None:
    assert list(readings(source)) == [1]
