"""Entries and questions at the edges of time end in an answer or one plain sentence."""

from pathlib import Path
from typing import Any

import pytest

from tests.journeys.household import Household, carelog

EDGES = ["0001-01-01T00:00:00Z", "1969-12-31T23:59:59.999999Z", "9999-12-31T23:59:59.999999Z"]


def household(folder: Path, at: str, **more: Any) -> Household:
    home = Household(folder)
    home.lines.append({"kind": "suction", "at": at, "details": {"blood": "fresh"}, **more})
    return home


@pytest.mark.parametrize("at", EDGES)
@pytest.mark.parametrize("words", [["due", "--json"], ["flags", "--json"], ["kit", "--json"], ["check"]])
def test_an_entry_at_the_edge_of_time_is_read_by_every_command(
    tmp_path: Path, at: str, words: list[str]
) -> None:
    answer = carelog(*words, "--record", str(household(tmp_path, at).record()))
    assert (answer.status, answer.err) == (0, "")


@pytest.mark.parametrize("at", EDGES)
def test_a_sheet_is_made_beside_an_entry_at_the_edge_of_time(tmp_path: Path, at: str) -> None:
    out, record = tmp_path / "week.pdf", str(household(tmp_path, at).record())
    answer = carelog("sheet", "--record", record, "--week", "2026-W47", "--out", str(out))
    assert (answer.status, answer.err) == (0, "")
    assert out.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    "words",
    [
        ["--week", "9999-W52"],
        ["--week", "0001-W01"],
        ["--sheet", "day", "--date", "9999-12-31"],
        ["--sheet", "day", "--date", "0001-01-01"],
    ],
)
def test_a_sheet_beyond_the_years_is_refused_in_one_sentence(tmp_path: Path, words: list[str]) -> None:
    out, record = tmp_path / "week.pdf", str(household(tmp_path, EDGES[1]).record())
    answer = carelog("sheet", "--record", record, *words, "--out", str(out))
    assert answer.status == 2
    assert answer.err == "carelog: A sheet shows days of the years 2 to 9998.\n"
    assert not out.exists()
