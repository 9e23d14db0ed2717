"""The mutation run changes what it says, one place at a time, and its control notices a change."""

import ast

import pytest

from tests.mutation import LAYERS, ROOT, chosen, mutations, nearest


@pytest.mark.parametrize(
    ("source", "afters"),
    [
        ("x = a < b", ["(a <= b)"]),
        ("x = a and b", ["(a or b)"]),
        ("x = a + 1", ["(a - 1)", "(2)"]),
        ("x = not a", ["(a)"]),
        ("def f():\n    return True", ["return None", "(False)"]),
        ("x = 'words'", []),
    ],
)
def test_a_change_is_small_and_in_its_place(source: str, afters: list[str]) -> None:
    found = list(mutations("x.py", source))
    assert [each.after for each in found] == afters
    assert all(each.changed == source.replace(each.before, each.after, 1) for each in found)


def test_the_same_seed_chooses_the_same_lines_each_once_and_what_is_made_can_be_read() -> None:
    found = chosen(40, 3, list(LAYERS))
    assert found == chosen(40, 3, list(LAYERS))
    assert len({(each.file, each.line) for each in found}) == 40
    for each in found:
        before = (ROOT / each.file).read_text(encoding="utf-8")
        assert ast.dump(ast.parse(each.changed)) != ast.dump(ast.parse(before)), each


@pytest.mark.parametrize("layer", LAYERS)
def test_each_layer_has_its_tests(layer: str) -> None:
    assert all((ROOT / folder).exists() for folder in LAYERS[layer])


def test_what_imports_the_changed_module_is_asked_first() -> None:
    file = "carelog/analysis/supplies.py"
    (mutation, *_) = mutations(file, (ROOT / file).read_text(encoding="utf-8"))
    assert "tests/analysis/test_supplies.py" in nearest(mutation)


def test_most_changes_have_a_test_that_is_near() -> None:
    found = chosen(40, 5, ["analysis", "domain"])
    assert sum(bool(nearest(each)) for each in found) > 35
