"""A module and a function stay small enough to be read at once."""

from pathlib import Path

import pytest

from tests.architecture.tree import functions, modules, name_of

MODULE_LINES = 400
FUNCTION_LINES = 40
DRAWERS = {"util", "utils", "helper", "helpers", "common", "misc", "manager", "managers", "base", "shared"}


def too_long(source: str) -> list[str]:
    """What is too long in a source text."""
    lines = len(source.splitlines())
    found = [f"{lines} lines"] if lines > MODULE_LINES else []
    return found + [f"{name}: {size} lines" for name, size in functions(source) if size > FUNCTION_LINES]


@pytest.mark.parametrize("module", modules(), ids=name_of)
def test_modules_and_functions_are_short(module: Path) -> None:
    assert too_long(module.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("module", modules(), ids=name_of)
def test_no_module_is_a_drawer_for_anything(module: Path) -> None:
    words = {word for part in name_of(module).split(".") for word in part.split("_")}
    assert not words & DRAWERS


def test_a_long_function_and_a_long_module_are_seen() -> None:
    body = "    x = 1\n" * 40
    assert too_long("def f():\n" + body) == ["f: 41 lines"]
    assert too_long("x = 1\n" * 401) == ["401 lines"]
    assert too_long("def f():\n" + body[:-10] + "x = 1\n" * 360) == []
