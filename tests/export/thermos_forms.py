"""A kind that nothing knows in each form that is given out, in a copy that declares it."""

import csv
import json
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from carelog.export.fhir.words import OWN_SYSTEM
from carelog.kinds import kind_named
from tests.export.fhir.reading import details_of
from tests.export.fhir.rules import faults
from tests.journeys.household import Household, carelog
from tests.ui.thermos_journey import LINE, plain

GIVEN: dict[str, Any] = {"filled": "full", "litres": 1.5, "hot": True, "shelf": "left"}


@pytest.fixture
def record(tmp_path: Path) -> str:
    home = Household(tmp_path)
    home.write("3 09:00", "thermos", **GIVEN)
    return str(home.record())


def given(record: str, form: str, target: Path) -> Path:
    """What is written in this form."""
    answer = carelog("export", str(target), "--record", record, "--as", form)
    assert answer.status == 0, answer.err
    return target


def test_it_has_a_table_with_its_fields_units_and_meanings(record: str, tmp_path: Path) -> None:
    folder = given(record, "csv", tmp_path / "tables")
    with (folder / "thermos.csv").open(encoding="utf-8-sig", newline="") as file:
        (row,) = csv.DictReader(file)
    told = {name: row[name] for name in ("filled", "litres [L]", "hot", "shelf")}
    assert told == {"filled": "full", "litres [L]": "1.5", "hot": "yes", "shelf": "left"}
    with (folder / "dictionary.csv").open(encoding="utf-8-sig", newline="") as file:
        means = {row["column"]: row for row in csv.DictReader(file) if row["table"] == "thermos"}
    assert means["filled"]["means"] == "How full"
    assert means["filled"]["choices"] == "full, half"


def test_it_has_a_sheet_with_typed_cells(record: str, tmp_path: Path) -> None:
    book = openpyxl.load_workbook(given(record, "xlsx", tmp_path / "book.xlsx"))
    head, row = book["thermos"].iter_rows(values_only=True)
    told = dict(zip(head, row, strict=True))
    assert (told["litres [L]"], told["hot"]) == (1.5, True)


def test_it_stands_on_the_page(record: str, tmp_path: Path) -> None:
    text = plain(given(record, "html", tmp_path / "page.html").read_text("utf-8"))
    assert "Thermos" in text
    assert LINE in text


def test_it_is_in_the_archive_in_each_of_its_forms(record: str, tmp_path: Path) -> None:
    with zipfile.ZipFile(given(record, "zip", tmp_path / "all.zip")) as found:
        assert b'"kind": "thermos"' in found.read("record.jsonl")
        assert LINE in plain(found.read("record.html").decode())


def test_it_is_a_finding_of_the_document_and_reads_back(record: str, tmp_path: Path) -> None:
    bundle = json.loads(given(record, "fhir", tmp_path / "out.json").read_bytes())
    assert faults(bundle) == []
    kind = kind_named("thermos")
    assert kind is not None
    (found,) = (
        each["resource"]
        for each in bundle["entry"]
        if {"system": OWN_SYSTEM, "code": "thermos", "display": "Thermos"}
        in each["resource"].get("code", {}).get("coding", [])
    )
    assert details_of(kind, found) == GIVEN
    assert LINE in plain(found["text"]["div"])
