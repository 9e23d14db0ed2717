"""What the commands offer is built: every value that their help or a refusal names does its work."""

import re
from pathlib import Path

import pytest

from carelog.commands import table
from tests.journeys.household import Household, carelog


@pytest.fixture
def record(tmp_path: Path) -> Path:
    """A small household's record."""
    home = Household(tmp_path)
    home.write("1 08:00", "person", name="Odette Farrow", home_zone="Europe/London")
    home.write("2 08:00", "suction", colour="white")
    return home.record()


def listed(refusal: str, before: str) -> list[str]:
    """The names that a refusal offers instead, after these words."""
    return re.findall(r"[a-z]+", refusal.partition(before)[2])


def test_every_form_that_export_names_is_written(record: Path, tmp_path: Path) -> None:
    forms = listed(
        carelog("export", str(tmp_path / "x"), "--record", str(record), "--as", "frob").err, "one of"
    )
    assert len(forms) >= 6
    for form in forms:
        answer = carelog("export", str(tmp_path / form), "--record", str(record), "--as", form)
        assert answer.status == 0, answer.err
        assert (tmp_path / form).exists()


def test_every_sheet_that_is_named_is_drawn(record: Path, tmp_path: Path) -> None:
    out = tmp_path / "s.pdf"
    sheets = listed(
        carelog("sheet", "--record", str(record), "--sheet", "frob", "--out", str(out)).err, "there are"
    )
    assert len(sheets) >= 8
    for sheet in sheets:
        answer = carelog("sheet", "--record", str(record), "--sheet", sheet, "--out", str(out))
        assert answer.status == 0, answer.err
        assert out.read_bytes().startswith(b"%PDF")
        out.unlink()


def test_no_option_of_any_command_says_that_it_is_not_built() -> None:
    assert len(table.COMMANDS) >= 12
    for command in table.COMMANDS:
        assert command.to_come == ()
        told = carelog(command.name, "--help")
        assert "built" not in told.out + told.err
