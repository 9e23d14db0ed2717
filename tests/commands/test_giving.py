"""`export --as`: each form is written whole or not at all, and the archive comes back as it was."""

import csv
import itertools
import json
import zipfile
from pathlib import Path

import pytest

from carelog.commands.giving import give
from carelog.domain.giving import GiveRequest
from carelog.domain.paper import Cancelled
from carelog.domain.trouble import WrongUse
from carelog.store import queries
from carelog.store.opening import open_record
from tests.export.fhir.rules import faults
from tests.journeys.household import TUBE, Household, carelog

FORMS = ("fhir", "csv", "xlsx", "html", "zip")


@pytest.fixture
def record(tmp_path: Path) -> Path:
    home = Household(tmp_path)
    home.write("1 08:00", "person", name="Odette Farrow", home_zone="Europe/London")
    home.write("1 09:00", "tube_change", **TUBE)
    for day in range(1, 4):
        home.write(f"{day} 10:00", "suction", amount="small")
    home.write("3 11:00", "made_up_kind", anything=[1, {"a": None}])
    return home.record()


def lines(path: Path, out: Path) -> list[bytes]:
    """The record's own lines in the exchange file."""
    assert carelog("export", str(out), "--record", str(path)).status == 0
    return out.read_bytes().splitlines()[1:]


@pytest.mark.parametrize("form", FORMS)
def test_each_form_is_written_and_says_how_many_entries_it_holds(
    record: Path, tmp_path: Path, form: str
) -> None:
    target = tmp_path / "out"
    answer = carelog("export", str(target), "--record", str(record), "--as", form)
    assert answer.status == 0, answer.err
    assert "6 entries written" in answer.out
    assert target.exists()


def test_an_archive_comes_back_whole_and_a_second_time_adds_nothing(record: Path, tmp_path: Path) -> None:
    target, other = tmp_path / "all.zip", tmp_path / "other.carelog"
    assert carelog("export", str(target), "--record", str(record), "--as", "zip").status == 0
    came = carelog("import", str(target), "--record", str(other))
    assert "6 entries were added, 0 already there" in came.out
    assert "0 entries were added" in carelog("import", str(target), "--record", str(other)).out
    assert lines(record, tmp_path / "a") == lines(other, tmp_path / "b")
    names = zipfile.ZipFile(target).namelist()
    assert {"README.txt", "record.jsonl", "record.html"} <= set(names)
    assert any(name.startswith("sheets/week-") for name in names)


@pytest.mark.parametrize("days", [(), ("--from", "2026-11-01", "--to", "2026-11-03")], ids=["all", "some"])
def test_an_archive_says_which_days_it_holds(record: Path, tmp_path: Path, days: tuple[str, ...]) -> None:
    target = tmp_path / "some.zip"
    assert carelog("export", str(target), "--record", str(record), "--as", "zip", *days).status == 0
    told = zipfile.ZipFile(target).read("README.txt").decode()
    assert ("Everything in the record." in told) is not bool(days)
    assert ("\nFrom " in told) is bool(days)
    assert "the whole of it" not in told


@pytest.mark.parametrize("spoil", ["cut", "flipped", "without", "foreign"])
def test_a_spoiled_archive_is_refused_and_nothing_is_added(record: Path, tmp_path: Path, spoil: str) -> None:
    target, other = tmp_path / "all.zip", tmp_path / "other.carelog"
    assert carelog("export", str(target), "--record", str(record), "--as", "zip").status == 0
    content = target.read_bytes()
    if spoil == "cut":
        target.write_bytes(content[: len(content) // 2])
    elif spoil == "flipped":
        place = content.index(b"record.jsonl") + 60
        target.write_bytes(content[:place] + bytes([content[place] ^ 0xFF]) + content[place + 1 :])
    elif spoil == "foreign":
        target.write_bytes(b"PK\x03\x04 and nothing of the kind")
    else:
        with zipfile.ZipFile(target, "w") as empty:
            empty.writestr("readme", "nothing here")
    answer = carelog("import", str(target), "--record", str(other))
    assert answer.status == 1
    assert len(answer.err.splitlines()) == 1
    assert not other.exists()


def test_a_folder_that_holds_something_is_left_as_it_is(record: Path, tmp_path: Path) -> None:
    target = tmp_path / "tables"
    target.mkdir()
    (target / "mine.txt").write_text("mine")
    answer = carelog("export", str(target), "--record", str(record), "--as", "csv")
    assert answer.status == 2
    assert [each.name for each in target.iterdir()] == ["mine.txt"]
    assert [each.name for each in tmp_path.iterdir() if each.name.startswith(".tables")] == []


def test_who_stops_it_is_heard_while_the_record_is_still_read(
    record: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(queries, "AT_ONCE", 1)
    asked = itertools.count(1)
    opened = open_record(record, installation="here")
    try:
        with pytest.raises(Cancelled):
            give(GiveRequest("zip"), opened, tmp_path / "out", 0, is_cancelled=lambda: next(asked) > 2)
    finally:
        opened.close()
    assert next(asked) == 4, "of six entries two were read"
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("form", ["exchange", *FORMS])
def test_how_far_it_is_only_grows_and_comes_near_the_whole(tmp_path: Path, form: str) -> None:
    home, told = Household(tmp_path), list[int]()
    for number in range(400):
        home.write(f"{1 + number // 20} {number % 20:02}:00", "suction", amount="small")
    opened = open_record(home.record(), installation="here")
    try:
        give(GiveRequest(form), opened, tmp_path / "out", 0, progress=told.append)
    finally:
        opened.close()
    assert told == sorted(set(told))
    assert 60 <= told[-1] <= 99
    assert form in ("csv", "xlsx") or len(told) > 3


def test_a_folder_that_cant_be_taken_is_refused_before_anything_is_read(
    record: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "kept").write_text("x")
    opened = open_record(record, installation="here")
    monkeypatch.setattr(opened, "everything", lambda *_given: pytest.fail("it is read"))
    try:
        with pytest.raises(WrongUse, match="already"):
            give(GiveRequest("csv"), opened, tmp_path, 0)
    finally:
        opened.close()


def test_a_period_holds_its_entries_alone(record: Path, tmp_path: Path) -> None:
    target = tmp_path / "tables"
    words = ["--from", "2026-11-02T00:00", "--to", "2026-11-03T00:00"]
    assert carelog("export", str(target), "--record", str(record), "--as", "csv", *words).status == 0
    with (target / "entries.csv").open(encoding="utf-8-sig", newline="") as file:
        assert [row["kind"] for row in csv.DictReader(file)] == ["suction"]
    assert not (target / "person.csv").exists()


@pytest.mark.parametrize("form", ["xlsx", "html", "zip"])
def test_the_open_record_is_never_written_over(record: Path, form: str) -> None:
    before = record.read_bytes()
    assert carelog("export", str(record), "--record", str(record), "--as", form).status == 2
    assert record.read_bytes() == before


def test_a_document_holds_the_tube_the_flags_and_the_sheet_of_its_period(
    record: Path, tmp_path: Path
) -> None:
    target = tmp_path / "out.json"
    words = ["--as", "fhir", "--from", "2026-11-02T00:00", "--to", "2026-11-03T00:00"]
    assert carelog("export", str(target), "--record", str(record), *words).status == 0
    bundle = json.loads(target.read_bytes())
    assert faults(bundle) == []
    kinds = [each["resource"]["resourceType"] for each in bundle["entry"]]
    assert kinds[0] == "Composition"
    assert {"Patient", "DeviceUseStatement", "DocumentReference", "Procedure"} <= set(kinds)
    assert kinds.count("Procedure") == 1
