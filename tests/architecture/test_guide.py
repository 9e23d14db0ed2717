"""The guide for developers is read in ten minutes: what comes first, and the recipe that one needs."""

import re

import pytest

from tests.architecture.tree import ROOT

A_MINUTE = 230
"""Words that are read in a minute (our own choice)."""
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
FIRST, *REST = re.split(r"^## Parts, to look up$", GUIDE, flags=re.MULTILINE)
PARTS = dict(re.findall(r"^## ([^\n]+)\n(.*?)(?=^## |\Z)", GUIDE, re.MULTILINE | re.DOTALL))
RECIPES = [name for name in PARTS if name.startswith(("Add ", "Change ", "Release"))]


def minutes(text: str) -> float:
    """How long somebody reads."""
    return len(text.split()) / A_MINUTE


@pytest.mark.parametrize("recipe", RECIPES)
def test_what_comes_first_and_a_recipe_are_read_in_ten_minutes(recipe: str) -> None:
    assert minutes(FIRST) + minutes(PARTS[recipe]) < 10


def test_there_is_a_recipe_for_each_thing_that_is_added() -> None:
    assert len(REST) == 1
    words = " ".join(RECIPES)
    for thing in ("kind", "page", "rule", "sheet", "row", "setting", "language", "database", "Release"):
        assert thing in words
    assert min(len(PARTS[name].split()) for name in RECIPES) > 50


def test_a_file_that_they_name_is_there() -> None:
    text = FIRST + "".join(PARTS[name] for name in RECIPES)
    names = set(re.findall(r"`((?:[a-z_]+/)+[a-z_]+\.(?:py|md))`", text))
    roofs = (ROOT, ROOT / "carelog", ROOT / "carelog" / "analysis")
    assert len(names) > 40
    assert [name for name in names if not any((roof / name).exists() for roof in roofs)] == []
