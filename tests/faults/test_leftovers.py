"""A journal that outlived its record is never rolled into the next file of that name."""

import contextlib
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from carelog.store.opening import check_file
from tests.faults.leftovers import cut_off_and_moved, cut_off_in, names_another
from tests.journeys.household import Household, carelog

FIRST, SECOND = "1 08:00", "2 08:00"


@pytest.fixture
def home(tmp_path: Path) -> Household:
    home = Household(tmp_path)
    home.write(FIRST, "person", name="Odette Farrow", home_zone="Europe/London")
    for number in range(60):
        home.write(f"2 08:{number:02}", "suction", colour="white", _note="as it was " * 8)
    return home


def restored(home: Household, record: Path, copy: Path) -> int:
    """Back from a copy."""
    return carelog("restore", str(copy), "--record", str(record)).status


def imported(home: Household, record: Path, _copy: Path) -> int:
    """Made by an import."""
    return carelog("import", str(home.folder / "all.jsonl"), "--record", str(record)).status


def added(_home: Household, record: Path, _copy: Path) -> int:
    """Made by a first entry."""
    return carelog("add", "--record", str(record), "mouth_care").status


def shown(home: Household, record: Path, _copy: Path) -> int:
    """Made as the made-up household's."""
    out = str(home.folder / "out")
    return carelog("demo", "--record", str(record), "--out", out, "--until", "2026-11-20T08:00").status


MAKERS: dict[str, tuple[Callable[[Household, Path, Path], int], int]] = {
    "restore": (restored, 61),
    "import": (imported, 61),
    "add": (added, 1),
    "demo": (shown, 0),
}


@pytest.mark.parametrize(("make", "count"), MAKERS.values(), ids=MAKERS)
def test_a_record_made_where_a_power_cut_left_a_journal_stays_whole(
    home: Household,
    make: Callable[[Household, Path, Path], int],
    count: int,
) -> None:
    record = home.record()
    assert carelog("export", str(home.folder / "all.jsonl"), "--record", str(record)).status == 0
    made = carelog("backup", "--record", str(record), "--to", str(home.folder / "copies"))
    moved = cut_off_and_moved(record)
    journal = Path(f"{record}-journal").read_bytes()
    assert make(home, record, Path(made.out.splitlines()[-1])) == 0
    before = check_file(record)
    assert (before[0] == count or not count, before[1]) == (True, [])
    assert carelog("add", "--record", str(record), "mouth_care").status == 0
    assert check_file(record) == (before[0] + 1, [])
    left = Path(f"{record}-journal.left-1")
    assert left.read_bytes() == journal
    # What was moved comes back whole once it has its journal again.
    left.rename(f"{moved}-journal")
    assert check_file(moved) == (61, [])


def test_without_setting_it_aside_the_journal_destroys_what_was_restored(home: Household) -> None:
    """The control: the same file put there by hand."""
    record, large = home.record(), home.folder / "large.carelog"
    cut_off_and_moved(record)
    assert shown(home, large, large) == 0
    shutil.copyfile(large, record)
    bare = sqlite3.connect(record)
    with contextlib.suppress(sqlite3.DatabaseError):
        bare.execute("SELECT count(*) FROM sqlite_master").fetchall()
    bare.close()
    assert record.stat().st_size < large.stat().st_size
    assert check_file(record)[1] != []


def test_an_empty_journal_leaves_nothing_behind(home: Household) -> None:
    record = home.folder / "new.carelog"
    Path(f"{record}-journal").touch()
    assert carelog("add", "--record", str(record), "mouth_care").status == 0
    assert not list(home.folder.glob("*.left-*"))


def test_a_journal_that_names_another_file_removes_nothing(home: Household) -> None:
    record, letter = home.record(), home.folder / "letter.txt"
    letter.write_text("Dear nurse")
    cut_off_in(record)
    names_another(Path(f"{record}-journal"), letter)
    before = record.read_bytes()
    for words in (["due"], ["check"], ["add", "mouth_care"]):
        answer = carelog(words[0], "--record", str(record), *words[1:])
        assert (answer.status, "it names another file" in answer.err) == (1, True)
    assert letter.read_text() == "Dear nurse"
    assert record.read_bytes() == before


def test_a_bare_database_removes_the_file_that_a_journal_names(home: Household) -> None:
    """The control: SQLite alone, with the same two files."""
    record, letter = home.record(), home.folder / "letter.txt"
    letter.write_text("Dear nurse")
    cut_off_in(record)
    names_another(Path(f"{record}-journal"), letter)
    bare = sqlite3.connect(record)
    bare.execute("SELECT count(*) FROM sqlite_master").fetchall()
    bare.close()
    assert not letter.exists()
