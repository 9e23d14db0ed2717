"""The tables before a spreadsheet program: what it reads of them, saved in its own format and read back."""

import subprocess
import zipfile
from datetime import datetime
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import openpyxl
import pytest

from carelog.domain.entry import Entry
from carelog.export import comma, workbook
from tests.export.test_tables import TUBE, extract
from tests.store.making import entry

pytestmark = [pytest.mark.long, pytest.mark.display("soffice")]
LETTERS = "Grüße, żółć, مرحبا"
FORMULA = "=1+1"
FOUND: list[Entry] = [
    entry(1, "cuff_pressure", details={"value": 25.5, "unit": "cmH2O"}, note=FORMULA),
    entry(2, "tube_change", details={**TUBE, "next_due": "2026-12-24"}, note=LETTERS),
    entry(3, "suction", details={"frothy": True}),
]
AS_UTF_8 = "Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false"
"""Commas, quotes, UTF-8; no column given as text; numbers and dates told as on opening by hand."""


def opened(file: Path, folder: Path, into: str = "xlsx", how: str = "") -> Path:
    """The file as the program read it, saved anew."""
    command = [
        "soffice",
        f"-env:UserInstallation={(folder / 'profile').as_uri()}",
        "--headless",
        *([f"--infilter={how}"] if how else []),
        "--convert-to",
        into,
        "--outdir",
        str(folder / "saved"),
        str(file),
    ]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    return folder / "saved" / f"{file.stem}.{into}"


def row(sheet: Any, place: int = 2) -> dict[str, Any]:
    """A row's cells by their heads."""
    return {head.value: cell for head, cell in zip(sheet[1], sheet[place], strict=True)}


def test_it_takes_the_workbook_with_types_and_charts(tmp_path: Path) -> None:
    file = tmp_path / "book.xlsx"
    file.write_bytes(workbook.workbook(extract(FOUND)))
    saved = openpyxl.load_workbook(opened(file, tmp_path))
    cuff = row(saved["cuff_pressure"])
    assert cuff["value [unit in column unit]"].value == 25.5
    assert isinstance(cuff["at"].value, datetime)
    assert (cuff["note"].data_type, cuff["note"].value) == ("s", FORMULA)
    tube = row(saved["tube_change"])
    assert tube["next_due"].is_date
    assert tube["note"].value == LETTERS
    assert row(saved["suction"])["frothy"].value in (True, "=TRUE()")  # its own way to save one
    # Without a window it keeps no view of a sheet: that heads are frozen is read in the file it was given.
    assert openpyxl.load_workbook(file)["cuff_pressure"].freeze_panes == "A2"
    assert len(saved["days"]._charts) == 5


def test_it_runs_no_formula_of_a_plain_table(tmp_path: Path) -> None:
    for name, parts in comma.files(extract(FOUND)):
        (tmp_path / name).write_bytes(b"".join(parts))
    saved = openpyxl.load_workbook(opened(tmp_path / "cuff_pressure.csv", tmp_path, how=AS_UTF_8))
    cuff = row(saved.active)
    assert cuff["value [unit in column unit]"].value == 25.5
    assert isinstance(cuff["at"].value, datetime)
    assert cuff["note"].data_type == "s"
    assert FORMULA in cuff["note"].value
    tube = row(openpyxl.load_workbook(opened(tmp_path / "tube_change.csv", tmp_path, how=AS_UTF_8)).active)
    assert tube["next_due"].is_date
    assert tube["note"].value == LETTERS


def test_a_formula_that_was_let_through_would_be_seen(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text('"note"\n"=1+1"\n', "utf-8")
    saved = opened(tmp_path / "a.csv", tmp_path, "ods", AS_UTF_8)
    with zipfile.ZipFile(saved) as found:
        content = ElementTree.fromstring(found.read("content.xml"))
    names = {name.rpartition("}")[2] for each in content.iter() for name in each.attrib}
    assert "formula" in names
