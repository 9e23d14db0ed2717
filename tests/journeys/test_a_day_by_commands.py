"""A day at the bedside through the commands, and the record on its way to another computer and back."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from carelog.domain.entry import Entry, line
from tests.journeys.household import HEADING, carelog
from tests.strategies import entries

DAY = "2026-11-24"


def add(record: Path, *words: str) -> str:
    """Add an entry; the id that was printed."""
    answer = carelog("add", "--record", str(record), *words)
    assert answer.status == 0, answer.err
    return answer.out.strip()


def at(clock: str) -> list[str]:
    """Options for an entry that was written as it happened, at home."""
    return ["--at", f"{DAY}T{clock}", "--recorded-at", f"{DAY}T{clock}"]


@pytest.fixture
def record(tmp_path: Path) -> Path:
    record = tmp_path / "day.carelog"
    # The first line says where home is: before it, times without offset are UTC.
    add(record, "person", "name=Odette Farrow", "home_zone=Europe/Paris", "born=1958-04-17", *at("05:00"))
    add(record, "contact", "role=nurse", "phone=01632 960 227", "for=team", *at("06:01"))
    tube = ["id_mm=8", "cuff=air", "inner_tube=reusable", "inner_id_mm=6,5", "next_due=2026-12-20"]
    add(record, "tube_change", *tube, *at("06:02"))
    tasks = [{"kind": "inner_tube", "every_h": 8}, {"kind": "cuff_pressure", "every_h": 12}]
    limits = {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}}
    plan = [f"tasks={json.dumps(tasks)}", f"limits={json.dumps(limits)}", "set_by=a nurse"]
    add(record, "plan", *plan, *at("06:03"))
    return record


def ask(record: Path, *words: str) -> list[dict[str, object]]:
    """The JSON answer of a command."""
    answer = carelog(words[0], "--record", str(record), *words[1:], "--json")
    assert answer.status == 0, answer.err
    found: list[dict[str, object]] = json.loads(answer.out)
    return found


def test_a_day_from_the_first_clean_to_the_sheet(record: Path, tmp_path: Path) -> None:
    clean = add(record, "inner_tube", "outcome=cleaned", "found=coated", "--by", "AB", *at("07:00"))
    add(record, "suction", "colour=white", "amount=small", "--by", "AB", *at("09:30"))
    high = add(record, "cuff_pressure", "value=34", "unit=cmH2O", "--by", "LR", *at("10:00"))
    (cuff, inner) = sorted(ask(record, "due", "--at", f"{DAY}T14:30"), key=lambda each: str(each["kind"]))
    assert (inner["due_at"], inner["state"]) == (f"{DAY}T15:00:00+01:00", "soon")
    assert (cuff["due_at"], cuff["last_at"]) == (f"{DAY}T22:00:00+01:00", f"{DAY}T10:00:00+01:00")
    period = ["--from", DAY, "--to", f"{DAY}T11:00"]
    (flag,) = [each for each in ask(record, "flags", *period) if each["rule"] == "cuff_high"]
    assert (flag["entries"], flag["level"], flag["cleared_at"]) == ([high], "call", None)
    add(record, "cuff_pressure", "value=26", "unit=cmH2O", "--by", "LR", *at("10:20"))
    add(record, "seen", "rule=cuff_high", "told=the nurse", "--by", "LR", *at("10:25"))
    period = ["--from", DAY, "--to", f"{DAY}T12:00"]
    (flag,) = [each for each in ask(record, "flags", *period) if each["rule"] == "cuff_high"]
    assert (flag["cleared_at"], flag["cleared_by"]) == (f"{DAY}T10:20:00+01:00", "entry")
    out = tmp_path / "day.html"
    words = ["--sheet", "day", "--date", DAY, "--html", "--out", str(out)]
    assert carelog("sheet", "--record", str(record), *words).status == 0
    page = out.read_text("utf-8")
    assert "Odette Farrow" in page
    assert all(clock in page for clock in ("07:00", "09:30", "10:00", "10:20"))
    assert clean
    assert carelog("check", "--record", str(record)).status == 0


def test_two_computers_bring_their_day_together(record: Path, tmp_path: Path) -> None:
    shared, other = tmp_path / "shared.jsonl", tmp_path / "other.carelog"
    assert carelog("export", str(shared), "--record", str(record)).status == 0
    assert carelog("import", str(shared), "--record", str(other)).status == 0
    here = add(record, "mouth_care", "--by", "AB", *at("08:00"))
    there = add(other, "mouth_care", "--by", "LR", *at("09:00"))
    for source, target in ((other, record), (record, other)):
        assert carelog("export", str(shared), "--record", str(source)).status == 0
        assert carelog("import", str(shared), "--record", str(target)).status == 0
    files = []
    for source in (record, other):
        assert carelog("export", str(shared), "--record", str(source)).status == 0
        files.append(shared.read_bytes().split(b"\n", 1)[1])
    assert files[0] == files[1]
    assert here.encode() in files[0]
    assert there.encode() in files[0]


def unique(found: list[Entry]) -> list[Entry]:
    """Entries with ids of their own and without changes that might not fit."""
    return [
        replace(each, amends=None, reason="", withdrawn=False) for each in {e.id: e for e in found}.values()
    ]


@settings(max_examples=25)
@given(st.lists(entries, max_size=12).map(unique))
def test_any_entries_go_out_and_in_and_out_with_the_same_bytes(
    tmp_path_factory: pytest.TempPathFactory, found: list[Entry]
) -> None:
    folder = tmp_path_factory.mktemp("exchange")
    given_, again = folder / "0.jsonl", folder / "1.jsonl"
    lines = sorted(found, key=lambda each: (each.recorded_at, each.id))
    text = "".join(f"{each}\n" for each in [json.dumps(HEADING), *map(line, lines)])
    given_.write_text(text, "utf-8", newline="\n")
    for number, source in enumerate((given_, again)):
        record = folder / f"{number}.carelog"
        assert carelog("import", str(source), "--record", str(record)).status == 0
        out = folder / f"{number + 1}.jsonl"
        assert carelog("export", str(out), "--record", str(record)).status == 0
        assert out.read_bytes().split(b"\n", 1)[1] == given_.read_bytes().split(b"\n", 1)[1]
