"""The newest good copy of a record that can't be read."""

from pathlib import Path

import pytest

from carelog.commands.copies import newest_copy
from carelog.domain.moment import Moment
from tests.journeys.household import HEADING, Household, carelog

NOW = Moment.read("2026-11-20T08:00:00Z").instant
OTHER = {"id": "00000000-9d52-4a0a-8d6c-0d1f6d0b7c11", "name": "Somebody"}


def copy(record: Path, folder: Path, day: int) -> Path:
    """A copy as if made on a day of November 2026."""
    made = carelog("backup", "--record", str(record), "--to", str(folder))
    path = Path(made.out.splitlines()[-1])
    return path.rename(folder / f"{path.name[:8]}-2026-11-{day:02}T08-00-00Z.carelog")


@pytest.fixture
def record(tmp_path: Path) -> Path:
    home = Household(tmp_path)
    home.write("1 08:00", "person", name="Odette Farrow")
    return home.record()


@pytest.fixture
def somebody(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "other").mkdir()
    monkeypatch.setitem(HEADING, "person", OTHER)
    home = Household(tmp_path / "other")
    home.write("1 08:00", "person", name="Somebody Else")
    made = home.record()
    monkeypatch.undo()
    return made


def test_the_sound_copy_that_holds_most_is_found_whatever_its_name_says(record: Path, tmp_path: Path) -> None:
    folder = tmp_path / "backups"
    old = copy(record, folder, 1)
    old.rename(folder / "5f6f4e0a-2030-01-01T08-00-00Z.carelog")
    later = ["--at", "2026-11-02T08:00+00:00", "recorded_at=2026-11-02T08:00+00:00"]
    assert carelog("add", "--record", str(record), "mouth_care", *later).status == 0
    copy(record, folder, 3)
    assert carelog("add", "--record", str(record), "mouth_care", *later).status == 0
    broken = copy(record, folder, 5)
    broken.write_bytes(broken.read_bytes()[:5000])
    found = newest_copy(record, folder, NOW)
    assert found is not None
    up_to, opened = found
    assert up_to == Moment.read("2026-11-02T08:00:00Z").instant
    assert [each.kind for each in opened.everything()] == ["person", "mouth_care"]
    opened.close()


def test_what_a_clock_ahead_wrote_makes_no_copy_reach_further(record: Path, tmp_path: Path) -> None:
    ahead = ["--at", "2040-01-01T08:00+00:00", "recorded_at=2040-01-01T08:00+00:00"]
    assert carelog("add", "--record", str(record), "mouth_care", *ahead).status == 0
    copy(record, tmp_path / "backups", 5)
    found = newest_copy(record, tmp_path / "backups", NOW)
    assert found is not None
    up_to, opened = found
    opened.close()
    assert up_to == Moment.read("2026-11-01T08:00:00Z").instant


def test_another_persons_copy_never_stands_in(record: Path, somebody: Path, tmp_path: Path) -> None:
    folder = tmp_path / "backups"
    copy(record, folder, 1)
    copy(somebody, folder, 3)
    found = newest_copy(record, folder, NOW)
    assert found is not None
    assert found[1].person().name == "Odette Farrow"
    found[1].close()
    assert newest_copy(tmp_path / "gone.carelog", folder, NOW) is None


def test_a_record_that_is_gone_is_stood_in_for_when_all_copies_are_of_one_person(
    record: Path, tmp_path: Path
) -> None:
    copy(record, tmp_path / "backups", 1)
    found = newest_copy(tmp_path / "gone.carelog", tmp_path / "backups", NOW)
    assert found is not None
    found[1].close()


def test_without_copies_there_is_none(record: Path, tmp_path: Path) -> None:
    assert newest_copy(record, tmp_path / "backups", NOW) is None
