"""A field, a value or a kind that code names is one that a kind declares: a typing error finds nothing."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from carelog.domain.either import ChoiceOrText, OrNone
from carelog.domain.field import Choice, Field, Group, ListOf, MapOf, Text, Type
from carelog.kinds import ALL
from tests.architecture.tree import PACKAGE, modules, name_of

KINDS = {kind.name for kind in ALL}
ASKED_BY_KIND = (
    "of",
    "of_kinds",
    "newest",
    "saying",
    "shelf",
    "kind_named",
    "named_or_unknown",
    "task_title",
    "with_titles",
    "open_form",
    "_open_form",
    "_form",
    "record",
    "draft",
    "drafted",
)
READ = ("get", "pop")
DATA = ("demo.py",)
"""The made-up household."""


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


def choices(fields: tuple[Field, ...]) -> Iterator[tuple[str, set[str]]]:
    """The fields of a closed list, at every depth, each with its values."""
    for each in fields:
        type_ = each.type.item if isinstance(each.type, ListOf) else each.type
        if isinstance(type_, Choice):
            yield each.name, {str(option.value) for option in type_.options}
        if isinstance(type_, Group):
            yield from choices(type_.fields)


FIELDS = {name for kind in ALL for name in names(kind.fields)}
OPEN = {each.name for kind in ALL for each in kind.fields if isinstance(each.type, Text | ChoiceOrText)}
"""Fields that are free text in some kind: any value may be meant."""
VALUES: dict[str, set[str]] = {}
for _kind in ALL:
    for _name, _values in choices(_kind.fields):
        VALUES[_name] = VALUES.get(_name, set()) | _values


def called_details(tree: ast.AST) -> set[str]:
    """What a module calls details: names and attributes that say so, or whose annotation does."""
    found = {"details"}
    for node in ast.walk(tree):
        annotation = getattr(node, "annotation", None)
        if annotation is None or ast.unparse(annotation).strip("'\"").split(" | ")[0] != "Details":
            continue
        if isinstance(node, ast.arg):
            found.add(node.arg)
        elif isinstance(node, ast.AnnAssign):
            found.add(getattr(node.target, "id", getattr(node.target, "attr", "")))
    return found


def is_details(node: ast.expr | None, known: set[str]) -> bool:
    """Whether an expression is an entry's details."""
    return getattr(node, "id", getattr(node, "attr", "")) in known


def text(node: ast.expr) -> list[str]:
    """The texts that an expression names: one, or those of a list."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value]
    if isinstance(node, ast.List | ast.Tuple | ast.Set):
        return [each for part in node.elts for each in text(part)]
    return []


def field_read(node: ast.expr, known: set[str]) -> tuple[str, list[str]]:
    """The field that an expression reads of details, and the values it stands for where there is none."""
    if isinstance(node, ast.Subscript) and is_details(node.value, known):
        return "".join(text(node.slice)), []
    called = node.func if isinstance(node, ast.Call) and node.args else None
    is_read = isinstance(called, ast.Attribute) and called.attr in READ and is_details(called.value, known)
    if isinstance(node, ast.Call) and is_read:
        return "".join(text(node.args[0])), [each for part in node.args[1:] for each in text(part)]
    return "", []


def compared(tree: ast.AST, details: set[str]) -> Iterator[tuple[int, str, set[str]]]:
    """Each value that a field of a closed list is held against or falls back to, with what it may be."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.expr):
            continue
        sides = [node.left, *node.comparators] if isinstance(node, ast.Compare) else [node]
        for side in sides:
            name, fallback = field_read(side, details)
            if name not in VALUES or name in OPEN:
                continue
            others = [value for other in sides if other is not side for value in text(other)]
            known = VALUES[name] | {""}  # nothing given, as a fallback
            yield from (
                (side.lineno, f"{name} {value}", {f"{name} {each}" for each in known})
                for value in [*others, *fallback]
            )


def read(tree: ast.AST, known: set[str]) -> Iterator[tuple[int, str, set[str]]]:
    """Each name that is read of details, or that names a kind, with what it may be."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Subscript) and is_details(node.value, known):
            yield from ((node.lineno, each, FIELDS) for each in text(node.slice))
        if isinstance(node, ast.Compare) and any(is_details(each, known) for each in node.comparators):
            yield from ((node.lineno, each, FIELDS) for each in text(node.left))
        if isinstance(node, ast.Compare) and getattr(node.left, "attr", "") == "kind":
            found = (each for part in node.comparators for each in text(part))
            yield from ((node.lineno, each, KINDS) for each in found)
        if isinstance(node, ast.Call) and node.args:
            called = getattr(node.func, "attr", getattr(node.func, "id", ""))
            if called in READ and is_details(getattr(node.func, "value", None), known):
                yield from ((node.lineno, each, FIELDS) for each in text(node.args[0]))
            if called in ASKED_BY_KIND:
                yield from ((node.lineno, each, KINDS) for each in text(node.args[0]))


def all_of(tree: ast.AST) -> Iterator[tuple[int, str, set[str]]]:
    """Names and values."""
    details = called_details(tree)
    yield from read(tree, details)
    yield from compared(tree, details)


def kinds_named(source: str) -> list[str]:
    """The kinds that a module names by a text, where only rules of care know them by name."""
    tree = ast.parse(source)
    found = [(line, name) for line, name, known in all_of(tree) if known is KINDS]
    for node in ast.walk(tree):
        if isinstance(node, ast.Dict):
            pairs = zip(node.keys, node.values, strict=True)
            kinds = [value for key, value in pairs if key and text(key) == ["kind"]]
            found += [(node.lineno, each) for value in kinds for each in text(value)]
        if isinstance(node, ast.Call) and getattr(getattr(node.func, "value", None), "attr", "") == "latest":
            found += [(node.lineno, each) for part in node.args for each in text(part)]
        if isinstance(node, ast.Tuple | ast.List | ast.Set) and len(KINDS & set(text(node))) > 1:
            found += [(node.lineno, each) for each in text(node)]
    return [f"line {line}: {name}" for line, name in found if name in KINDS]


def wrong(source: str) -> list[str]:
    """The names in a module that nothing declares."""
    return [f"line {line}: {name}" for line, name, known in all_of(ast.parse(source)) if name not in known]


def above_the_rules() -> Iterator[Path]:
    """The modules that read declarations; the made-up household's own entries are data."""
    for module in modules():
        room = module.relative_to(PACKAGE).parts[0]
        if room not in ("analysis", "kinds", "domain") and module.name not in DATA:
            yield module


@pytest.mark.parametrize("module", modules(), ids=name_of)
def test_every_name_that_is_read_is_declared(module: Path) -> None:
    assert wrong(module.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("module", list(above_the_rules()), ids=name_of)
def test_only_rules_of_care_know_a_kind_by_its_name(module: Path) -> None:
    assert kinds_named(module.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "line",
    [
        'record.of_kinds(["person"])',
        'entry.kind == "plan"',
        'picture.latest.get("shift")',
        'TASKS = [{"kind": "stoma", "every_h": 24}]',
        'USUAL = ("suction", "inner_tube")',
        'self._open_form("person", given)',
    ],
)
def test_a_kind_that_is_known_by_name_is_found(line: str) -> None:
    assert kinds_named(line)


@pytest.mark.parametrize(
    "line",
    [
        'held.entry.details["bloood"]',
        'details.get("amont")',
        '"vaccum" in details',
        'reading.of("suctoin")',
        'record.of_kinds(["plan", "persn"])',
        'entry.kind == "tube-change"',
        'held.entry.details.get("ease") == "faild"',
        'details["blood"] in ("streaks", "fersh")',
        '"skin-edge" == details.get("fluid_from")',
        'details.get("route", "trachael")',
        'def f(tube: Details) -> None: tube["id_m"]',
    ],
)
def test_a_typing_error_is_found(line: str) -> None:
    assert wrong(line)
