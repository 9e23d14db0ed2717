"""The table of what is met for whom: no criterion is left out, and whatever is met names what holds it."""

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
MOST = {
    "1.1": 1, "1.2": 9, "1.3": 6, "1.4": 13, "2.1": 4, "2.2": 6, "2.3": 3,
    "2.4": 13, "2.5": 8, "3.1": 6, "3.2": 6, "3.3": 9, "4.1": 3,
}  # fmt: skip
"""How many criteria each guideline of WCAG 2.2 has."""
CLAUSES = {"11.5.1", *(f"11.5.2.{n}" for n in range(1, 18)), "11.6.1", "11.6.2", "11.7", "11.8"}
ANSWERS = ("met", "partly", "not met", "not tried", "there is none", "AA met", "holds for markup only")
NUMBERS = re.compile(r"(\d+(?:\.\d+)+)(?:–(\d+(?:\.\d+)+))?")


def rows() -> list[list[str]]:
    """The cells of each row of the table."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text.split("| criteria | level | here | by what |\n| --- | --- | --- | --- |\n")[1]
    lines = table.split("\n\n")[0].splitlines()
    return [[cell.strip() for cell in line[1:-1].split("|")] for line in lines]


def named(words: str) -> set[str]:
    """The numbers in words, those between two of them too."""
    found = set()
    for first, last in NUMBERS.findall(words):
        head, _dot, low = first.rpartition(".")
        found |= {f"{head}.{n}" for n in range(int(low), int((last or first).rpartition(".")[2]) + 1)}
    return found


def test_every_criterion_and_clause_stands_in_the_table_once() -> None:
    found = [number for row in rows() for number in named(row[0])]
    wanted = {f"{guideline}.{n}" for guideline, most in MOST.items() for n in range(1, most + 1)} | CLAUSES
    assert set(found) == wanted
    assert len(found) == len(wanted) == 87 + len(CLAUSES)


def test_every_row_says_met_or_not_and_names_tests_that_there_are() -> None:
    tests = {path.name for path in (ROOT / "tests").rglob("test_*.py")}
    for row in rows():
        assert row[2].startswith(ANSWERS), row
        for name in re.findall(r"`([^`]*test_\w+\.py)`", row[3]):
            assert Path(name).name in tests, row
