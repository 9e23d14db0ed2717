"""`import` and `export`: all or nothing in, the same bytes out."""

import json
import os
import stat
import subprocess
import tempfile
from pathlib import Path
from typing import Any

import pytest

from carelog.app import output
from carelog.domain.trouble import WrongUse
from tests.journeys.household import HEADING, Household, carelog

WORDS = "żółty <b>&\"'🙂 \N{RIGHT-TO-LEFT MARK}"


@pytest.fixture
def home(tmp_path: Path) -> Household:
    home = Household(tmp_path)
    home.write("1 08:00", "person", name="Odette Farrow", home_zone="Europe/London")
    first = home.write("2 08:00", "suction", colour="white", _note=WORDS)
    home.write("3 08:00", "mouth_care")
    home.change(first, "4 08:00", {"colour": "cream"})
    return home


def lines_of(path: Path) -> list[bytes]:
    """A file's lines."""
    return path.read_bytes().splitlines(keepends=True)


def test_what_goes_out_comes_back_with_the_same_bytes(home: Household, tmp_path: Path) -> None:
    record, first, again, second = (
        home.record(),
        tmp_path / "1.jsonl",
        tmp_path / "2.carelog",
        tmp_path / "2.jsonl",
    )
    assert carelog("export", str(first), "--record", str(record)).out == f"4 entries written to {first}.\n"
    assert carelog("import", str(first), "--record", str(again)).status == 0
    assert carelog("export", str(second), "--record", str(again), "--as", "exchange").status == 0
    assert lines_of(first)[1:] == lines_of(second)[1:]
    assert len(lines_of(first)) == 5
    assert json.loads(lines_of(first)[0])["person"] == HEADING["person"]
    assert os.name != "posix" or first.stat().st_mode & 0o077 == 0


def test_a_second_import_adds_nothing(home: Household, tmp_path: Path) -> None:
    record, file = home.record(), tmp_path / "1.jsonl"
    carelog("export", str(file), "--record", str(record))
    assert (
        carelog("import", str(file), "--record", str(record)).out
        == "0 entries were added, 4 already there.\n"
    )


def test_a_period_brings_whole_chains(home: Household, tmp_path: Path) -> None:
    record, file = home.record(), tmp_path / "1.jsonl"
    period = ["--from", "2026-11-02", "--to", "2026-11-03"]
    assert carelog("export", str(file), "--record", str(record), *period).status == 0
    found = [json.loads(each) for each in lines_of(file)[1:]]
    assert [each["recorded_at"][8:10] for each in found] == ["02", "04"]
    period = ["--from", "2026-11-03T08:00", "--to", "2026-11-03T08:00:01"]
    assert carelog("export", str(file), "--record", str(record), *period).status == 0
    assert [json.loads(each)["kind"] for each in lines_of(file)[1:]] == ["mouth_care"]
    assert carelog("export", str(file), "--record", str(record), "--to", "2026-11-02").status == 0
    assert [json.loads(each)["kind"] for each in lines_of(file)[1:]] == ["person"]


def test_what_this_version_does_not_know_is_kept_and_counted(home: Household, tmp_path: Path) -> None:
    home.write("5 08:00", "sunshine", hours=3)
    home.write("5 09:00", "suction", sparkle=[1, {"a": 0.5}])
    file, out = tmp_path / "odd.jsonl", tmp_path / "out.jsonl"
    file.write_text("".join(json.dumps(each) + "\n" for each in [HEADING, *home.lines]), "utf-8")
    answer = carelog("import", str(file), "--record", str(tmp_path / "odd.carelog"))
    assert answer.status == 0
    assert "1 entries by kind, 1 fields" in answer.out
    assert carelog("export", str(out), "--record", str(tmp_path / "odd.carelog")).status == 0
    assert b'"sparkle": [1, {"a": 0.5}]' in out.read_bytes()
    assert b'"kind": "sunshine"' in out.read_bytes()


REFUSED: dict[str, tuple[list[Any], int, str]] = {
    "no heading": ([{"kind": "note", "at": "2026-11-01T08:00:00Z"}], 1, "first line must be the heading"),
    "newer": ([{**HEADING, "version": 2}], 1, "newer carelog"),
    "another form of time": ([HEADING, {"kind": "note", "at": "2026-11-01 08:00"}], 2, "isn't a time"),
    "a value that is not its own": (
        [HEADING, {"kind": "suction", "at": "2026-11-01T08:00:00Z", "details": {"colour": "blue"}}],
        2,
        "must be one of",
    ),
    "an unknown key": ([HEADING, {"kind": "note", "at": "2026-11-01T08:00:00Z", "who": "AB"}], 2, "who"),
}


@pytest.mark.parametrize(("lines", "number", "words"), REFUSED.values(), ids=REFUSED)
def test_a_refused_file_leaves_no_record(lines: list[Any], number: int, words: str, tmp_path: Path) -> None:
    file, record = tmp_path / "bad.jsonl", tmp_path / "new" / "r.carelog"
    record.parent.mkdir()
    file.write_text("".join(json.dumps(each) + "\n" for each in lines), "utf-8")
    answer = carelog("import", str(file), "--record", str(record))
    assert answer.status == 1
    assert answer.err.startswith(f"carelog: Line {number}: ")
    assert words in answer.err
    assert answer.err.count("\n") == 1
    assert list(record.parent.iterdir()) == []


def test_a_refused_file_leaves_the_record_as_it_was(home: Household, tmp_path: Path) -> None:
    record, file = home.record(), tmp_path / "bad.jsonl"
    before = record.read_bytes()
    good = {"kind": "note", "at": "2026-11-01T08:00:00Z", "note": "new"}
    other = {**HEADING, "person": {"id": "00000000-0000-4000-8000-000000000000", "name": "Somebody"}}
    for lines in ([HEADING, good, {"kind": "note"}], [other, good]):
        file.write_text("".join(json.dumps(each) + "\n" for each in lines), "utf-8")
        assert carelog("import", str(file), "--record", str(record)).status == 1
        assert record.read_bytes() == before


def test_a_record_given_for_an_exchange_file_is_called_one(home: Household, tmp_path: Path) -> None:
    file, new = home.record(), tmp_path / "new" / "r.carelog"
    new.parent.mkdir()
    answer = carelog("import", str(file), "--record", str(new))
    assert answer.status == 1
    assert answer.err == (
        "carelog: This is a record, not an exchange file. Open it, and export from there.\n"
    )
    assert list(new.parent.iterdir()) == []


@pytest.mark.parametrize("content", [b"", b"hello\n", b"SQLite format 3\0" + b"x" * 200])
def test_a_file_that_is_no_record_is_refused_by_all_and_left(
    content: bytes, home: Household, tmp_path: Path
) -> None:
    home.record()
    file, foreign = next(tmp_path.glob("*.jsonl")), tmp_path / "foreign.carelog"
    foreign.write_bytes(content)
    record = ["--record", str(foreign)]
    for words in (
        ["import", str(file)],
        ["export", str(tmp_path / "out.jsonl")],
        ["add", "mouth_care"],
        ["add", "--stream"],
        ["due"],
        ["flags"],
        ["kit", "--json"],
        ["check"],
        ["backup", "--to", str(tmp_path / "copies")],
        ["demo", "--out", str(tmp_path)],
        ["sheet", "--week", "2026-W47", "--out", str(tmp_path / "s.pdf")],
    ):
        answer = carelog(*words, *record)
        assert answer.status == 1, words
        assert answer.err.count("\n") == 1, answer.err
        assert "foreign.carelog" in answer.err
        assert foreign.read_bytes() == content


def test_an_export_never_lands_on_a_record_or_a_folder(home: Household, tmp_path: Path) -> None:
    record = home.record()
    before = record.read_bytes()
    other = tmp_path / "other.carelog"
    other.write_bytes(before)
    for target in (record, other, tmp_path):
        answer = carelog("export", str(target), "--record", str(record))
        assert answer.status == 2
        assert answer.err.count("\n") == 1
    assert record.read_bytes() == other.read_bytes() == before


def test_an_export_that_cannot_be_written_leaves_nothing(home: Household, tmp_path: Path) -> None:
    record = home.record()
    before = sorted(tmp_path.iterdir())
    answer = carelog("export", str(tmp_path / "none" / "out.jsonl"), "--record", str(record))
    assert (answer.status, answer.err.count("\n")) == (1, 1)
    assert sorted(tmp_path.iterdir()) == before


def test_a_period_that_ends_before_it_begins_is_refused(home: Household, tmp_path: Path) -> None:
    period = ["--from", "2026-11-03", "--to", "2026-11-03"]
    answer = carelog("export", str(tmp_path / "out"), "--record", str(home.record()), *period)
    assert answer.status == 2
    assert "--from must lie before --to" in answer.err


@pytest.mark.skipif(os.name != "posix", reason="links and pipes of POSIX")
def test_an_export_follows_a_link_and_fills_a_pipe(home: Household, tmp_path: Path) -> None:
    record, file, link, pipe = home.record(), tmp_path / "1.jsonl", tmp_path / "link", tmp_path / "pipe"
    link.symlink_to(file)
    assert carelog("export", str(link), "--record", str(record)).status == 0
    assert link.is_symlink()
    assert len(lines_of(file)) == 5
    os.mkfifo(pipe)
    with subprocess.Popen(["cat", str(pipe)], stdout=subprocess.PIPE) as reader:
        assert carelog("export", str(pipe), "--record", str(record)).status == 0
        assert reader.stdout is not None
        assert reader.stdout.read().splitlines()[1:] == [each.rstrip() for each in lines_of(file)[1:]]
    assert stat.S_ISFIFO(pipe.stat().st_mode)


def test_a_stream_of_the_system_is_written_to_and_not_replaced(
    home: Household, monkeypatch: pytest.MonkeyPatch
) -> None:
    replaced: list[Path] = []
    monkeypatch.setattr(output, "in_place_of", replaced.append)
    with tempfile.TemporaryFile() as stream:
        assert output.write_file(Path(f"/proc/self/fd/{stream.fileno()}"), [b"a", b"b"]) == 2
        assert stream.read() == b"ab"
    assert replaced == []


@pytest.mark.skipif(os.name != "posix", reason="devices of POSIX")
def test_an_export_to_a_device_is_refused(home: Household, tmp_path: Path) -> None:
    record, link = home.record(), tmp_path / "stick"
    link.symlink_to("/dev/null")
    for target in (Path("/dev/null"), link):
        answer = carelog("export", str(target), "--record", str(record))
        assert (answer.status, answer.err) == (2, f"carelog: “{target}” is a device; name a file.\n")


def test_the_records_own_file_is_not_even_opened_by_an_export_over_it(
    home: Household, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Closing it again would drop the locks that this process holds on it."""
    opened: list[Path] = []
    record = home.record()
    real = Path.open

    def watched(path: Path, *given: Any, **more: Any) -> Any:
        opened.append(path)
        return real(path, *given, **more)

    monkeypatch.setattr(Path, "open", watched)
    with pytest.raises(WrongUse, match="is a record"):
        output.write_file(record, [], record)
    assert opened == []


def test_an_import_that_changes_the_plan_says_how(tmp_path: Path) -> None:
    task = {"kind": "inner_tube", "every_h": 8}
    cuff = {"low": 20, "high": 30, "unit": "cmH2O"}
    home = Household(tmp_path)
    home.write("1 08:00", "plan", set_by="a nurse", tasks=[task], limits={"cuff_pressure": cuff})
    record = home.record()
    limits = {"cuff_pressure": {**cuff, "low": 22, "high": 26}}
    home.write("2 08:00", "plan", set_by="a nurse", tasks=[{**task, "every_h": 4}], limits=limits)
    file = tmp_path / "more.jsonl"
    file.write_text("".join(json.dumps(each) + "\n" for each in [HEADING, *home.lines]), "utf-8")
    answer = carelog("import", str(file), "--record", str(record))
    told = "The care plan changed: cuff 20–30 → 22–26 cmH2O; inner tube 8 → 4 h."
    assert told in answer.out.replace("\N{NO-BREAK SPACE}", " ")
    assert "changed" not in carelog("import", str(file), "--record", str(record)).out
