"""`demo`: the made-up household, never over anything else."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from carelog.domain.moment import Moment
from tests.journeys.household import Answer, Household, carelog

UNTIL = "2026-11-25T12:40+00:00"


@pytest.fixture(autouse=True)
def _no_display(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DISPLAY", "")
    monkeypatch.setenv("WAYLAND_DISPLAY", "")


def demo(folder: Path, until: str | None = UNTIL, record: str = "demo.carelog") -> Answer:
    """Run `carelog demo` in a folder."""
    when = ["--until", until] if until else []
    return carelog("demo", "--record", str(folder / record), "--out", str(folder / "out"), *when)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The made-up household's record of that moment, made once; each test copies it."""
    folder = tmp_path_factory.mktemp("made")
    with pytest.MonkeyPatch.context() as patch:
        for name in ("DISPLAY", "WAYLAND_DISPLAY"):
            patch.setenv(name, "")
        assert demo(folder).status == 0
    return folder / "demo.carelog"


@pytest.fixture
def record(made: Path, tmp_path: Path) -> Path:
    """A copy of it, where `demo` looks for it."""
    return Path(shutil.copy(made, tmp_path))


def lines_of(record: Path) -> list[str]:
    """The record's entries as exchange lines."""
    out = record.with_suffix(".jsonl")
    assert carelog("export", str(out), "--record", str(record)).status == 0
    return out.read_text("utf-8").splitlines()[1:]


def test_it_makes_record_and_sheet_and_says_where(tmp_path: Path) -> None:
    answer = demo(tmp_path)
    assert (answer.status, answer.err) == (0, "")
    assert str(tmp_path / "demo.carelog") in answer.out
    assert str(tmp_path / "out" / "demo-2026-W47.pdf") in answer.out
    assert "no display" in answer.out
    assert (tmp_path / "out" / "demo-2026-W47.pdf").read_bytes().startswith(b"%PDF-")
    newest = json.loads(lines_of(tmp_path / "demo.carelog")[-1])["recorded_at"]
    assert "2026-11-25" <= newest <= "2026-11-25T12:20:00+00:00"
    assert carelog("check", "--record", str(tmp_path / "demo.carelog")).status == 0


def test_the_same_moment_gives_the_same_lines(record: Path, tmp_path: Path) -> None:
    assert demo(tmp_path, record="2.carelog").status == 0
    assert lines_of(record) == lines_of(tmp_path / "2.carelog")


def test_what_somebody_added_is_kept_aside_when_the_record_is_made_anew(record: Path, tmp_path: Path) -> None:
    added = carelog(
        "add", "--record", str(record), "note", "--recorded-at", UNTIL, "--at", UNTIL, "--note", "x"
    )
    answer = demo(tmp_path, "2026-12-02T12:00+00:00")
    assert answer.status == 0
    (aside,) = tmp_path.glob("demo.before-*.carelog")
    assert answer.err == (f"carelog: One entry was added to the made-up record. It is kept as {aside}.\n")
    assert added.out.strip() in "".join(lines_of(aside))
    assert added.out.strip() not in "".join(lines_of(record))
    assert demo(tmp_path, "2026-12-09T12:00+00:00").err == ""  # the control: nothing was added meanwhile
    assert len(list(tmp_path.glob("demo.before-*.carelog"))) == 1


def test_a_record_that_is_up_to_date_is_kept_with_what_was_tried_in_it(record: Path, tmp_path: Path) -> None:
    assert carelog("add", "--record", str(record), "note", "--recorded-at", UNTIL, "--at", UNTIL).status == 0
    before = lines_of(record)
    assert demo(tmp_path, "2026-11-26T12:00+00:00").status == 0
    assert lines_of(record) == before


def test_an_older_one_is_made_anew(record: Path, tmp_path: Path) -> None:
    assert demo(tmp_path, "2026-11-29T12:00+00:00").status == 0
    assert json.loads(lines_of(record)[-1])["recorded_at"] > "2026-11-28"
    assert demo(tmp_path, UNTIL).status == 0
    assert json.loads(lines_of(record)[-1])["recorded_at"] < "2026-11-26"
    assert [each.name for each in tmp_path.iterdir() if each.name.startswith(".")] == []


def test_a_real_record_is_refused_and_left(tmp_path: Path) -> None:
    home = Household(tmp_path)
    home.write("1 08:00", "person", name="Odette Farrow")
    record = home.record()
    before = record.read_bytes()
    answer = demo(tmp_path, record=record.name)
    assert (answer.status, answer.out) == (1, "")
    assert "isn't a made-up household's record" in answer.err
    assert record.read_bytes() == before
    assert not (tmp_path / "out").exists()


def test_a_record_without_entries_is_not_a_made_up_one(tmp_path: Path) -> None:
    record = Household(tmp_path).record()
    before = record.read_bytes()
    assert demo(tmp_path, record=record.name).status == 1
    assert record.read_bytes() == before


@pytest.mark.parametrize("until", ["tomorrow", "0001-01-01", "2026-10-25T01:30"])
def test_a_time_it_cannot_end_at_is_wrong_use(until: str, tmp_path: Path) -> None:
    answer = demo(tmp_path, until)
    assert (answer.status, answer.err.count("\n")) == (2, 1)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    words = ["--record", str(tmp_path / "d.carelog"), "--out", str(tmp_path / "file" / "out")]
    answer = carelog("demo", *words, "--until", UNTIL)
    assert answer.status == 1
    assert "can't be made" in answer.err


def test_no_qt_is_loaded_without_a_display(tmp_path: Path) -> None:
    code = (
        "import sys; from carelog.main import main; "
        f"status = main(['demo', '--record', {str(tmp_path / 'd.carelog')!r}, '--out', {str(tmp_path)!r}]); "
        "sys.exit(status or any(name.startswith('PySide6') for name in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True).returncode == 0


def test_now_is_the_end_when_nothing_is_said(tmp_path: Path) -> None:
    assert demo(tmp_path, None).status == 0
    newest = json.loads(lines_of(tmp_path / "demo.carelog")[-1])["recorded_at"]
    assert Moment.read(newest).instant > Moment.read("2024-01-01T00:00:00Z").instant


def test_a_folder_that_is_not_there_is_named_and_none_is_made(tmp_path: Path) -> None:
    answer = demo(tmp_path, record="nowhere/demo.carelog")
    assert (answer.status, answer.out) == (1, "")
    assert (
        answer.err
        == f"carelog: There is no folder “{tmp_path / 'nowhere'}”. Make it, or name another file.\n"
    )
    assert not (tmp_path / "nowhere").exists()
