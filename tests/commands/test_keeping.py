"""`check`, `backup`, `restore`."""

from pathlib import Path

import pytest

from tests.journeys.household import Household, carelog


@pytest.fixture
def record(tmp_path: Path) -> Path:
    home = Household(tmp_path)
    home.write("1 08:00", "person", name="Odette Farrow", home_zone="Europe/London")
    home.write("2 08:00", "suction", colour="white", _note="a note that stands in the file")
    return home.record()


def test_a_sound_record_is_said_to_be_sound(record: Path) -> None:
    answer = carelog("check", "--record", str(record))
    assert (answer.status, answer.out, answer.err) == (0, "No damage found: 2 entries checked.\n", "")


def test_damage_is_told_with_what_and_where(record: Path) -> None:
    content = record.read_bytes()
    assert b"a note that stands" in content
    record.write_bytes(content.replace(b"a note that stands", b"a note that stinks"))
    answer = carelog("check", "--record", str(record))
    assert answer.status == 1
    assert answer.out.strip()
    assert "is damaged" in answer.err
    assert answer.err.count("\n") == 1


def test_a_copy_comes_back_as_the_record_it_was(record: Path, tmp_path: Path) -> None:
    made = carelog("backup", "--record", str(record), "--to", str(tmp_path / "deep" / "copies"))
    assert made.status == 0
    copy = Path(made.out.splitlines()[-1])
    assert copy.parent == tmp_path / "deep" / "copies"
    assert "Odette" not in copy.name
    back = tmp_path / "back.carelog"
    assert carelog("restore", str(copy), "--record", str(back)).status == 0
    files = [tmp_path / "1.jsonl", tmp_path / "2.jsonl"]
    for file, source in zip(files, (record, back), strict=True):
        assert carelog("export", str(file), "--record", str(source)).status == 0
    first, second = (file.read_bytes().splitlines()[1:] for file in files)
    assert first == second


def test_two_copies_in_one_second_are_both_kept(record: Path, tmp_path: Path) -> None:
    made = [carelog("backup", "--record", str(record), "--to", str(tmp_path / "copies")) for _ in range(3)]
    assert len({each.out.splitlines()[-1] for each in made}) == 3


def test_restore_never_overwrites(record: Path, tmp_path: Path) -> None:
    made = carelog("backup", "--record", str(record), "--to", str(tmp_path / "copies"))
    before = record.read_bytes()
    answer = carelog("restore", made.out.splitlines()[-1], "--record", str(record))
    assert answer.status == 1
    assert "there already" in answer.err
    assert record.read_bytes() == before


def test_a_damaged_copy_makes_no_record(record: Path, tmp_path: Path) -> None:
    made = carelog("backup", "--record", str(record), "--to", str(tmp_path / "copies"))
    copy = Path(made.out.splitlines()[-1])
    copy.write_bytes(copy.read_bytes().replace(b"a note that stands", b"a note that stinks"))
    answer = carelog("restore", str(copy), "--record", str(tmp_path / "back.carelog"))
    assert answer.status == 1
    assert answer.err.count("\n") == 1
    assert not (tmp_path / "back.carelog").exists()


def test_a_folder_that_cannot_be_made_is_told(record: Path) -> None:
    answer = carelog("backup", "--record", str(record), "--to", str(record / "inside"))
    assert answer.status == 1
    assert "No copy was made" in answer.err


def test_a_copy_may_be_asked_for_as_it_is(record: Path, tmp_path: Path) -> None:
    answer = carelog("backup", "--plain", "--record", str(record), "--to", str(tmp_path / "copies"))
    assert answer.status == 0
    assert Path(answer.out.splitlines()[-1]).exists()
