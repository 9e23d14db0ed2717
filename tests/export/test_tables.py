"""Tables, workbook, page: every kind appears by itself, and spreadsheets get no formula to run."""

import csv
import io
import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Any

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils.escape import unescape

from carelog.domain.entry import Entry
from carelog.domain.kind import Kind
from carelog.domain.moment import HOUR, Moment
from carelog.export import cells, comma, page, table, workbook
from carelog.export.extract import IN_FORCE, NO_EFFECT, REPLACED, STATES, STRIKES, STRUCK, Extract
from carelog.kinds import ALL
from tests.store.making import change, entry
from tests.strategies import details, entries

NOW = 1_795_000_000_000_000
every_kind = pytest.mark.parametrize("kind", ALL, ids=lambda kind: kind.name)
TUBE = {"id_mm": 8, "cuff": "air", "inner_tube": "none"}
HOSTILE = ['=HYPERLINK("http://x")', "+1+1", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "\n=1"]


def extract(found: Sequence[Entry]) -> Extract:
    """What is given out of these entries."""
    return Extract(found, "5f6f4e0a-9d52-4a0a-8d6c-0d1f6d0b7c11", "Odette Farrow", NOW)


def files(found: Sequence[Entry], *, has_bom: bool = True) -> dict[str, list[dict[str, str]]]:
    """Each file's rows by their heads, as another program reads them."""
    return files_of(extract(found), has_bom=has_bom)


def files_of(given: Extract, *, has_bom: bool = True) -> dict[str, list[dict[str, str]]]:
    """The same of what is given out."""
    read = {}
    for name, parts in comma.files(given, has_bom=has_bom):
        text = b"".join(parts).decode("utf-8-sig")
        read[name] = list(csv.DictReader(io.StringIO(text, newline=""), strict=True))
    return read


def book(found: Sequence[Entry]) -> Any:
    """The workbook as another library reads it."""
    return openpyxl.load_workbook(io.BytesIO(workbook.workbook(extract(found))))


@every_kind
@given(data=st.data())
def test_each_kind_has_a_table_whose_columns_are_its_fields(kind: Kind, data: st.DataObject) -> None:
    given_details = data.draw(details(kind))
    made = entry(1, kind.name, details={**given_details, "from_elsewhere": [1]})
    (row,) = files([made])[f"{kind.name}.csv"]
    for each in kind.fields:
        head = table.column(each).head
        value = given_details.get(each.name)
        assert (row[head] == "") == (value in (None, "", [], [""])), each.name
    assert json.loads(row["other_fields"]) == {"from_elsewhere": [1]}


@given(found=st.lists(entries, max_size=12, unique_by=lambda each: each.id))
def test_every_entry_stands_once_over_all_and_once_in_its_kinds_own(found: list[Entry]) -> None:
    read = files(found)
    assert sorted(row["id"] for row in read["entries.csv"]) == sorted(each.id for each in found)
    apart = ("entries.csv", "dictionary.csv")
    own = [row["id"] for name, rows in read.items() if name not in apart for row in rows]
    assert sorted(own) == sorted(each.id for each in found)


def test_what_was_written_after_a_nurse_signed_its_day_is_marked_in_table_and_page() -> None:
    first, late = entry(1, "suction"), entry(3, "suction")
    day = Moment.read("2026-11-22T12:00:00Z")
    first, late = (replace(each, at=day, recorded_at=day.instant) for each in (first, late))
    signed = {"nurse": "Nell", "until": "2026-11-22", "signed": True}
    visit = replace(entry(2, "visit", details=signed), at=day, recorded_at=day.instant + HOUR)
    late = replace(late, recorded_at=day.instant + 2 * HOUR)
    given = replace(extract([first, late]), visits=(visit,))
    rows = {each["id"]: each for each in files_of(given)["suction.csv"]}
    assert rows[first.id]["after_signing_iso"] == ""
    assert rows[late.id]["after_signing_iso"] == "2026-11-22T14:00:00+00:00"
    assert b"".join(page.page(given)).decode().count("written after these days were signed") == 1


@every_kind
def test_no_two_columns_of_a_table_have_one_name(kind: Kind) -> None:
    for each in table.tables(extract([entry(1, kind.name)])):
        names = [column.name for column in each.columns]
        assert len(set(names)) == len(names)


def test_the_dictionary_names_every_column_of_every_table() -> None:
    read = files([entry(number, kind.name) for number, kind in enumerate(ALL, 1)])
    named = {(row["table"], row["column"]) for row in read["dictionary.csv"]}
    for each in table.tables(extract([entry(n, kind.name) for n, kind in enumerate(ALL, 1)])):
        assert {(each.name, column.name) for column in each.columns} <= named
    rows = {(row["table"], row["column"]): row for row in read["dictionary.csv"]}
    assert rows["suction", "route"]["choices"] == "tracheal, oral, subglottic"


def test_a_number_never_stands_without_its_unit() -> None:
    found = table.tables(extract([entry(1, "cuff_pressure"), entry(2, "observations")]))
    heads = [column.head for each in found for column in each.columns]
    assert "value [unit in column unit]" in heads
    assert "temperature_c [°C]" in heads


@pytest.mark.parametrize("text", HOSTILE)
def test_no_text_is_a_formula(text: str) -> None:
    made = entry(1, "note", note=text)
    (row,) = files([made])["note.csv"]
    assert row["note"] == f"'{text}"
    cells = [each for line in book([made])["note"].iter_rows() for each in line]
    assert {each.data_type for each in cells if text.strip() in str(each.value)} == {"s"}


def test_a_negative_number_stays_a_number() -> None:
    made = entry(1, "stock", details={"item": "HME", "delta": -2})
    (row,) = files([made])["stock.csv"]
    assert row["delta"] == "-2"


@pytest.mark.parametrize("has_bom", [True, False])
def test_the_mark_for_older_spreadsheets_is_a_choice(has_bom: bool) -> None:
    found = dict(comma.files(extract([entry(1)]), has_bom=has_bom))
    assert b"".join(found["entries.csv"]).startswith(comma.BOM) == has_bom


def test_what_an_entry_is_among_its_changes_is_said() -> None:
    first, kept = entry(1), entry(2)
    changed, strike, stray = change(3, 1), change(4, 2, withdrawn=True), change(5, 99)
    states = extract([first, kept, changed, strike, stray]).states
    found = [states[each.id] for each in (first, changed, kept, strike, stray)]
    assert found == [REPLACED, IN_FORCE, STRUCK, STRIKES, NO_EFFECT]
    assert set(found) == set(STATES)


def test_cells_are_typed_and_heads_stay_in_sight() -> None:
    found = [
        entry(1, "cuff_pressure", details={"value": 25.5, "unit": "cmH2O"}),
        entry(2, "tube_change", details={**TUBE, "next_due": "2026-12-24"}),
        entry(3, "suction", details={"frothy": True}, note="Grüße, żółć, مرحبا"),
    ]
    sheets = book(found)
    assert sheets["cuff_pressure"].freeze_panes == "A2"
    rows = {
        name: {head.value: cell for head, cell in zip(sheets[name][1], sheets[name][2], strict=True)}
        for name in ("cuff_pressure", "tube_change", "suction")
    }
    assert rows["cuff_pressure"]["value [unit in column unit]"].value == 25.5
    assert isinstance(rows["cuff_pressure"]["at"].value, datetime)
    assert rows["tube_change"]["next_due"].value.date() == date(2026, 12, 24)
    assert rows["suction"]["frothy"].value is True
    assert rows["suction"]["note"].value == "Grüße, żółć, مرحبا"
    assert len(sheets["days"]._charts) == 5


def test_the_first_sheet_is_for_reading_and_the_kinds_own_holds_the_rest() -> None:
    sheets = book([entry(1, "note", note="slept well")])
    heads = {name: [cell.value for cell in sheets[name][1]] for name in ("entries", "note")}
    assert set(heads["entries"]) == set(workbook.OVERVIEW)
    assert {column.head for column in table.ENVELOPE} <= set(heads["note"])


def test_a_day_without_any_care_is_empty_and_never_zero() -> None:
    near, far = (Moment.read(f"2026-11-{day}T08:00:00+00:00") for day in (23, 25))
    days = list(
        workbook.day_rows(
            extract([entry(1, at=near, recorded_at=near.instant), entry(2, at=far, recorded_at=far.instant)])
        )
    )
    assert [row[1] for row in days] == [1, None, 1]


def test_a_text_that_a_cell_cant_take_says_that_it_was_cut() -> None:
    made = entry(1, "note", note="x" * 40_000)
    values = [cell.value for line in book([made])["note"].iter_rows() for cell in line]
    (cut,) = [value for value in values if isinstance(value, str) and value.startswith("xxx")]
    assert len(cut) <= cells.LONGEST
    assert "cut" in cut[-40:]


def test_the_page_shows_each_entry_with_its_marks_and_no_text_is_a_tag() -> None:
    first = entry(1, "note", note="<script>alert(1)</script>")
    text = b"".join(page.page(extract([first, change(2, 1, "note", withdrawn=True)]))).decode()
    assert "<script>" not in text
    assert "&lt;script&gt;" in text
    assert "withdrawn" in text or "struck out" in text
    assert "No monitor, no alarm" in text


def test_an_empty_record_makes_tables_and_a_page_that_say_so() -> None:
    assert files([])["entries.csv"] == []
    assert "Nothing recorded." in b"".join(page.page(extract([]))).decode()
    assert book([]).sheetnames == ["entries", "dictionary"]


def test_what_a_workbook_writes_in_its_own_way_reads_back_as_it_was() -> None:
    texts = ["a\x00b\rc", "_x0041_", "<&>", " two  spaces ", "\ufffe", "مرحبا", "\U0010ffff", "=1+1"]
    found = [entry(number, "note", note=text) for number, text in enumerate(texts, 1)]
    sheet = book(found)["note"]
    (place,) = [number for number, head in enumerate(sheet[1]) if head.value == "note"]
    back = [unescape(str(line[place].value)) for line in sheet.iter_rows(min_row=2)]
    assert back == texts


def test_a_sheet_says_how_far_it_goes_and_has_its_rows_in_order() -> None:
    sheet = book([entry(number) for number in range(1, 1200)])["suction"]
    assert (sheet.max_row, sheet.max_column) == (1200, len(sheet[1]))
    times = [line[0].value for line in sheet.iter_rows(min_row=2)]
    assert times == sorted(times)


def test_more_entries_than_a_sheet_takes_are_told_in_its_last_row(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workbook, "MOST_ROWS", 3)
    sheet = book([entry(number) for number in range(1, 6)])["suction"]
    assert sheet.max_row == 4
    assert sheet["A4"].value == "There are more entries than a sheet takes."
