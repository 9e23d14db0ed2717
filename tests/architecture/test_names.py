"""A field or a kind that is read by its name is one that a kind declares: a typing error finds nothing."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from carelog.domain.either import ChoiceOrText, OrNone
from carelog.domain.field import Field, Group, ListOf, MapOf, Type
from carelog.kinds import ALL
from tests.architecture.tree import modules, name_of

KINDS = {kind.name for kind in ALL}
ASKED_BY_KIND = ("of", "of_kinds", "newest", "saying", "shelf", "kind_named", "named_or_unknown")
READ = ("get", "pop")


def names(fields: tuple[Field, ...]) -> Iterator[str]:
    """The names of fields, at every depth."""
    for each in fields:
        yield each.name
        yield from inside(each.type)


def inside(kind: Type) -> Iterator[str]:
    """The names within a type."""
    match kind:
        case Group():
            yield from names(kind.fields)
        case ListOf() | MapOf():
            yield from inside(kind.item)
            if isinstance(kind, MapOf):
                yield from (str(option.value) for option in kind.names.options)
        case OrNone():
            yield from inside(kind.type)
        case ChoiceOrText():
            yield from inside(kind.choice)


FIELDS = {name for kind in ALL for name in names(kind.fields)}


def is_details(node: ast.expr) -> bool:
    """Whether an expression is an entry's details: a name or an attribute that says so."""
    name = node.id if isinstance(node, ast.Name) else node.attr if isinstance(node, ast.Attribute) else ""
    return name == "details"


def text(node: ast.expr) -> list[str]:
    """The texts that an expression names: one, or those of a list."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value]
    if isinstance(node, ast.List | ast.Tuple | ast.Set):
        return [each for part in node.elts for each in text(part)]
    return []


def read(tree: ast.AST) -> Iterator[tuple[int, str, set[str]]]:
    """Each name that is read of details, or that names a kind, with what it may be."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Subscript) and is_details(node.value):
            yield from ((node.lineno, each, FIELDS) for each in text(node.slice))
        if isinstance(node, ast.Compare) and any(map(is_details, node.comparators)):
            yield from ((node.lineno, each, FIELDS) for each in text(node.left))
        if isinstance(node, ast.Compare) and getattr(node.left, "attr", "") == "kind":
            found = (each for part in node.comparators for each in text(part))
            yield from ((node.lineno, each, KINDS) for each in found)
        if isinstance(node, ast.Call) and node.args:
            called = getattr(node.func, "attr", getattr(node.func, "id", ""))
            if called in READ and is_details(getattr(node.func, "value", ast.Constant(0))):
                yield from ((node.lineno, each, FIELDS) for each in text(node.args[0]))
            if called in ASKED_BY_KIND:
                yield from ((node.lineno, each, KINDS) for each in text(node.args[0]))


def wrong(source: str) -> list[str]:
    """The names in a module that nothing declares."""
    return [f"line {line}: {name}" for line, name, known in read(ast.parse(source)) if name not in known]


@pytest.mark.parametrize("module", modules(), ids=name_of)
def test_every_name_that_is_read_is_declared(module: Path) -> None:
    assert wrong(module.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "line",
    [
        'held.entry.details["bloood"]',
        'details.get("amont")',
        '"vaccum" in details',
        'reading.of("suctoin")',
        'record.of_kinds(["plan", "persn"])',
        'entry.kind == "tube-change"',
    ],
)
def test_a_typing_error_is_found(line: str) -> None:
    assert wrong(line)
