"""The mutation run changes what it says, one place at a time, and its control notices a change."""

import ast
import shutil
from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest

from tests.mutation.changes import Mutation, changed, chosen, mutations
from tests.mutation.near import LAYERS, ROOT, nearest
from tests.mutation.trial import Run, Trial, noticed_by_any


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
    assert all(changed(source, [each]) == source.replace(each.before, each.after, 1) for each in found)


def test_the_same_seed_chooses_the_same_lines_each_once_and_what_is_made_can_be_read() -> None:
    found = chosen(40, 3, list(LAYERS))
    assert found == chosen(40, 3, list(LAYERS))
    assert len({(each.file, each.line) for each in found}) == 40
    for each in found:
        before = (ROOT / each.file).read_text(encoding="utf-8")
        assert ast.dump(ast.parse(changed(before, [each]))) != ast.dump(ast.parse(before)), each


@pytest.mark.parametrize("layer", LAYERS)
def test_each_layer_has_its_tests(layer: str) -> None:
    assert all((ROOT / folder).exists() for folder in LAYERS[layer])


def test_what_imports_the_changed_module_is_asked_first() -> None:
    file = "carelog/analysis/supplies.py"
    (mutation, *_) = mutations(file, (ROOT / file).read_text(encoding="utf-8"))
    assert "tests/analysis/test_supplies.py" in nearest(mutation.file, mutation.layer)


def test_most_changes_have_a_test_that_is_near() -> None:
    found = chosen(40, 5, ["analysis", "domain"])
    assert sum(bool(nearest(each.file, each.layer)) for each in found) > 35


SOURCE = """\
def count(limit):
    n = 0
    while n < limit:
        n = n + 1
    return n or 0
"""
TEST = """\
from count import count


def test_it_counts():
    assert count(3) == 3
"""


def test_a_change_is_noticed_by_a_test_that_fails_by_it_or_comes_to_no_end(tmp_path: Path) -> None:
    (tmp_path / "count.py").write_text(SOURCE, encoding="utf-8")
    (tmp_path / "test_count.py").write_text(TEST, encoding="utf-8")
    (tmp_path / "tests" / "mutation").mkdir(parents=True)
    shutil.copy(ROOT / "tests" / "mutation" / "noting.py", tmp_path / "tests" / "mutation")
    changes = {f"{each.line} {each.after}": each for each in mutations("count.py", SOURCE)}
    fails, hangs, survives = changes["3 (n <= limit)"], changes["4 (n - 1)"], changes["5 (1)"]
    trial, its_test = Trial(tmp_path, patience=1), "test_count.py::test_it_counts"
    assert trial.run([hangs], ["test_count.py"]) == Run((its_test,), is_whole=False)
    assert noticed_by_any(trial, [fails, survives], ["test_count.py"]) == {fails: its_test}
    assert (tmp_path / "count.py").read_text(encoding="utf-8") == SOURCE


class Told(Trial):
    """A trial without a program: these changes make these tests fail, and one test fails always."""

    by: Mapping[str, str]

    def run(self, changes: Sequence[Mutation], tests: Sequence[str], *, is_enough_one: bool = False) -> Run:
        asked = [test for test, before in zip(tests, ["", *tests], strict=False) if before != "--deselect"]
        there = [test for test in asked if test != "--deselect" and asked.count(test) == tests.count(test)]
        failing = {"always", *(self.by[each.after] for each in changes if each.after in self.by)}
        return Run(tuple(test for test in there if test in failing), is_whole=True)


def test_a_test_that_fails_without_a_change_notices_none(tmp_path: Path) -> None:
    first, second, third = mutations("count.py", "x = a < b\ny = a + b\nz = not a")
    trial = Told(tmp_path, patience=1)
    trial.by = {first.after: "one", second.after: "two"}
    assert trial.noticing(third, ["one", "two", "always"]) is None
    assert trial.noticing(second, ["one", "always", "two"]) == "two"
    tests = ["one", "two", "always"]
    assert noticed_by_any(trial, [first, second, third], tests) == {first: "one", second: "two"}
