"""What was given out of a hostile household, as other programs read it."""

import csv
import io
import json
import re
import shutil
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import openpyxl
from pypdfium2 import PdfDocument

from carelog.domain.entry import Entry
from carelog.domain.moment import MINUTE, Moment
from carelog.export.cells import shortened
from carelog.kinds import ALL
from tests.export.fhir.rules import faults, texts
from tests.faults.hostile import HOSTILE, Household, household, missing, run_on
from tests.faults.page import Seen
from tests.journeys.household import carelog
from tests.store.making import START, fresh, id_of, opened

LONG = 33_000  # characters: more than a cell takes
FORMULAS = ('=HYPERLINK("http://x")', "+1+1", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "\n=1")
OBEYED = ("=", "+", "-", "@", "\t", "\r", "\n")
"""OWASP, CSV Injection: how a text begins that a spreadsheet takes for a formula."""
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")
"""ECMA-376, 22.9.2.19 (ST_Xstring): how a workbook writes what XML has no place for."""
TOLD = (
    "in force, by",
    "in force, note",
    ", by whom",
    "the new note",
    " changed, reason",
    " struck out, reason",
)


def whole_texts() -> list[Entry]:
    """Notes that are a hostile text and nothing else, as they begin."""
    found = []
    for number, text in enumerate((*(each[:LONG] for each in HOSTILE.values()), *FORMULAS), 5001):
        instant = START + number * MINUTE // 10
        found.append(
            Entry(id=id_of(number), kind="note", at=Moment(instant), recorded_at=instant, by=text, note=text)
        )
    return found


def _with_whole(found: Household) -> Household:
    return replace(found, entries=[*found.entries, *whole_texts()])


def _written(found: Household, folder: Path, form: str) -> Path:
    """The household given out in a form by the command."""
    record, target = folder / f"{form}.carelog", folder / f"given-{form}"
    shutil.rmtree(target, ignore_errors=True)
    target.unlink(missing_ok=True)
    record.unlink(missing_ok=True)
    made = fresh(record)
    made.append(found.entries)
    made.close()
    answer = carelog("export", str(target), "--record", str(record), "--as", form)
    if answer.status:
        raise ValueError(answer.err)
    return target


def tables(found: Household, folder: Path) -> Iterator[str]:
    """Each text in its table as it is, but for the mark before one that begins like a formula."""
    found = _with_whole(found)
    target = _written(found, folder, "csv")
    cells: list[str] = []
    rows: dict[str, dict[str, str]] = {}
    for file in sorted(target.iterdir()):
        if file.name == "dictionary.csv":
            continue
        text = file.read_bytes().decode("utf-8-sig")
        for row in csv.DictReader(io.StringIO(text, newline=""), strict=True):
            cells.extend(each for each in row.values() if each)
            rows[row["id"]] = row if file.name == "entries.csv" else rows.get(row["id"], row)
    yield from (f"csv: {each[:30]!a} would be run" for each in cells if _is_run(each))
    yield from _same_cells("csv", found, rows, lambda text: text[1:] if _is_marked(text) else text)
    yield from _same_slots("csv", found, cells)


def _is_run(cell: str) -> bool:
    """Whether a spreadsheet would take a cell for a formula: it begins like one, and is no number."""
    return cell.startswith(OBEYED) and not re.fullmatch(r"-\d+(\.\d+)?", cell)


def _is_marked(cell: str) -> bool:
    return cell[:1] == "'" and cell[1:].startswith(OBEYED)


def _same_cells(form: str, found: Household, rows: dict[str, dict[str, str]], plain: Any) -> Iterator[str]:
    if len(rows) != len(found.entries):
        yield f"{form}: {len(rows)} entries of {len(found.entries)}"
    for entry in found.entries:
        row = rows.get(entry.id, {})
        for name, text in (("written_by", entry.by), ("note", entry.note)):
            if plain(row.get(name) or "") != text:
                yield f"{form}: {name} of {entry.kind} isn't as it was: {row.get(name)!a}"[:200]


def _same_slots(form: str, found: Household, cells: Iterable[str]) -> Iterator[str]:
    """Each text stands somewhere, by itself or within a text of JSON."""
    joined = "\n".join(cells)
    for slot in found.slots:
        if slot.whole not in joined and _as_json(slot.whole) not in joined:
            yield f"{form}: {slot.where} isn't as it was"


def _as_json(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)[1:-1]


def workbook(found: Household, folder: Path) -> Iterator[str]:
    """The same in the workbook: each cell of text is one, and holds what was given as far as one can."""
    found = _with_whole(found)
    book = openpyxl.load_workbook(io.BytesIO(_written(found, folder, "xlsx").read_bytes()))
    cells: list[str] = []
    rows: dict[str, dict[str, str]] = {}
    for sheet in book:
        if sheet.title in ("dictionary", "days"):
            continue
        heads = [str(each.value) for each in sheet[1]]
        for line in sheet.iter_rows(min_row=2):
            if any(each.data_type == "f" for each in line):
                yield f"xlsx: a formula in {sheet.title}"
            row = {head: _unescaped(each.value) for head, each in zip(heads, line, strict=True) if each.value}
            cells.extend(row.values())
            rows.setdefault(row["id"], row)
    short = replace(
        found,
        entries=[replace(each, by=shortened(each.by), note=shortened(each.note)) for each in found.entries],
    )
    yield from _same_cells("xlsx", short, rows, lambda text: text)
    yield from _same_slots("xlsx", found, cells)


def _unescaped(value: object) -> str:
    return _ESCAPED.sub(lambda each: chr(int(each[1], 16)), str(value))


def one_page(found: Household, folder: Path) -> Iterator[str]:
    """The page shows the texts in force whole, and none of them becomes a tag."""
    seen = Seen(_written(found, folder, "html").read_text("utf-8"))
    plain = Seen(_written(_plain(found), folder, "html").read_text("utf-8"))
    if extra := seen.tags - plain.tags - {("br",)}:
        yield f"html: tags {sorted(extra)}"
    yield from _whole("html", found, seen.text)


def _plain(found: Household) -> Household:
    kinds = {entry.kind for entry in found.entries}
    return household("plain", [kind for kind in ALL if kind.name in kinds])


def _whole(form: str, found: Household, text: str) -> Iterator[str]:
    """What is in force, and who changed or struck out what and why, is there; what is there is whole."""
    letters = run_on(text)
    for slot in found.slots:
        there = slot.among(letters)
        if there is None and not slot.where.endswith(TOLD):
            continue
        lacking = [slot.text] if there is None else missing(slot.text, there)
        if lacking:
            yield f"{form}: {slot.where} lacks {lacking!a}"[:200]


def document(found: Household, folder: Path) -> Iterator[str]:
    """The document keeps the format's rules; the texts that it tells are whole."""
    bundle = json.loads(_written(found, folder, "fhir").read_bytes())
    yield from (f"fhir: {each}" for each in faults(bundle))
    yield from _whole("fhir", replace(found, slots=_without_changes(found)), _told(bundle))


def _told(bundle: Any) -> str:
    """All texts of a document, those for people without their tags."""
    start = '<div xmlns="http://www.w3.org/1999/xhtml">'
    return "\n".join(Seen(text).text if text.startswith(start) else text for text in texts(bundle))


def _without_changes(found: Household) -> list[Any]:
    """Struck entries are left out; people are told as who they are, not as entries."""
    people = ("person", "contact", "recorder")
    return [
        slot for slot in found.slots if "struck out" not in slot.where and not slot.where.startswith(people)
    ]


def archive(found: Household, folder: Path) -> Iterator[str]:
    """It comes back whole, as it is and packed again by another hand; its pages and sheets open."""
    found = _with_whole(found)
    target = _written(found, folder, "zip")
    with zipfile.ZipFile(target) as file:
        if broken := file.testzip():
            yield f"zip: {broken} is damaged"
        for name in file.namelist():
            if name.endswith(".pdf") and not len(PdfDocument(file.read(name))):
                yield f"zip: {name} has no page"
        file.extractall(folder / "unpacked")
    again = Path(shutil.make_archive(str(folder / "again"), "zip", folder, "unpacked"))
    for source in (target, again, folder / "unpacked" / "record.jsonl"):
        yield from _comes_back(found.entries, source, folder)
    shutil.rmtree(folder / "unpacked")


def _comes_back(entries: Sequence[Entry], source: Path, folder: Path) -> Iterator[str]:
    into = folder / "into.carelog"
    into.unlink(missing_ok=True)
    answer = carelog("import", str(source), "--record", str(into))
    if answer.status:
        yield f"zip: {source.name}: {answer.err}"
        return
    back = opened(into)
    if back.everything() != sorted(entries, key=lambda each: (each.recorded_at, each.id)):
        yield f"zip: {source.name} comes back as something else"
    back.close()


GIVEN = {"csv": tables, "xlsx": workbook, "html": one_page, "fhir": document, "zip": archive}
SPOILED: dict[str, tuple[str, Any]] = {
    "csv": ("carelog.export.comma.OBEYED", ("=",)),
    "xlsx": ("carelog.export.cells._escaped", lambda found: " "),
    "html": ("carelog.export.page.escape", lambda text, quote=True: text),
    "fhir": ("carelog.export.fhir.words.escape", lambda text: text.replace("a", "")),
    "zip": ("carelog.store.exchange.line", lambda entry: "{}"),
}
"""For each what, in its place, loses or lets through what it shouldn't: the controls."""
