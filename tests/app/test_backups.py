"""When copies are made, what they are called, and which of them stay."""

from pathlib import Path

import pytest

from carelog.app import backups as module
from carelog.app.backups import Backups, worth_keeping
from carelog.app.ports import PersonHeading
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Instant, Moment
from carelog.domain.trouble import Trouble

HERE, THERE = "11111111-fcb3-5875-a6d2-ca3574a04fd9", "22222222-fcb3-5875-a6d2-ca3574a04fd9"
NOW = Moment.read("2026-11-25T13:05:01Z").instant
PERSON = PersonHeading("d4861c73-fcb3-5875-a6d2-ca3574a04fd9", "Odette Farrow")


class Set:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.instant = NOW

    def now(self) -> Instant:
        return self.instant

    def zone(self) -> str:
        return "UTC"


def copy(record: Path, target: Path) -> None:
    """Copy the plain file."""
    target.write_bytes(record.read_bytes())


@pytest.fixture
def clock() -> Set:
    return Set()


@pytest.fixture
def backups(tmp_path: Path, clock: Set) -> Backups:
    record = tmp_path / "odette-farrow.carelog"
    record.write_bytes(b"x" * 100)
    return Backups(record, PERSON, tmp_path / "backups", copy, clock, HERE)


def test_a_copy_is_due_each_24_hours(backups: Backups, clock: Set) -> None:
    assert backups.is_due()
    backups.make()
    assert not backups.is_due()
    clock.instant += DAY_24_H - 1
    assert not backups.is_due()
    clock.instant += 1
    assert backups.is_due()


def test_names_hold_time_and_id_and_never_the_persons_name(backups: Backups) -> None:
    made = backups.make()
    assert made.path.name == "d4861c73-11111111-2026-11-25T13-05-01Z.carelog"
    assert backups.kept() == [made]


def test_before_a_spoiled_copy_the_older_one_stays(backups: Backups, clock: Set) -> None:
    bad: set[str] = set()
    careful = Backups(
        backups._record, PERSON, backups.folder, copy, clock, HERE, is_good=lambda path: path.name not in bad
    )
    names = []
    for _ in range(11):
        clock.instant += MINUTE
        names.append(careful.make().path.name)
    assert names[0] not in {each.path.name for each in careful.kept()}  # the control: eleven in a day are ten
    bad.add(names[1])  # the one that would stand for the next to go
    bad.add(names[2])
    clock.instant += MINUTE
    careful.make()
    kept = {each.path.name for each in careful.kept()}
    assert names[1] in kept
    clock.instant += MINUTE
    bad.clear()
    careful.make()
    assert names[1] not in {each.path.name for each in careful.kept()}


def test_another_persons_copies_are_left_alone(backups: Backups, clock: Set) -> None:
    backups.folder.mkdir()
    other = backups.folder / "00000000-2020-01-01T00-00-00Z.carelog"
    notes = backups.folder / "d4861c73-notes.txt"
    for file in (other, notes):
        file.touch()
    for _ in range(30):
        clock.instant += HOUR
        backups.make()
    assert other.exists()
    assert notes.exists()
    assert all(each.path.name.startswith("d4861c73") for each in backups.kept())


def test_three_years_of_daily_copies_leave_days_weeks_and_months() -> None:
    made = [NOW - n * DAY_24_H for n in range(3 * 365)]
    kept = sorted(worth_keeping(made), reverse=True)
    assert kept[:14] == made[:14]
    assert len(kept) <= 14 + 8 + 24
    assert 22 * 30 * DAY_24_H < NOW - kept[-1] < 24 * 31 * DAY_24_H
    weeks = {n // (7 * DAY_24_H) for n in (NOW - each for each in kept)}
    assert len(weeks) >= 24


def test_many_copies_in_one_hour_leave_the_last_ten() -> None:
    made = [NOW - n for n in range(40)]
    assert worth_keeping(made) == set(made[:10])


def test_large_copies_go_oldest_first_but_never_the_newest_three(
    backups: Backups, clock: Set, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "SIZE_CAP", 250)
    for _ in range(6):
        clock.instant += DAY_24_H
        backups.make()
    assert [each.made_at for each in backups.kept()] == [clock.instant - n * DAY_24_H for n in range(3)]


def test_a_copy_that_fails_removes_none_of_the_old_ones(backups: Backups, clock: Set, tmp_path: Path) -> None:
    backups.make()
    clock.instant += DAY_24_H

    def fail(_record: Path, _target: Path) -> None:
        raise Trouble("The disk is full.")

    failing = Backups(tmp_path / "odette-farrow.carelog", PERSON, backups.folder, fail, clock, HERE)
    with pytest.raises(Trouble, match="full"):
        failing.make()
    assert len(backups.kept()) == 1


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path, clock: Set) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(Trouble, match="No copy was made"):
        Backups(tmp_path / "r", PERSON, tmp_path / "file" / "backups", copy, clock, HERE).make()


def test_a_copy_dated_years_ahead_makes_no_further_ones_and_is_not_the_newest(
    backups: Backups, clock: Set
) -> None:
    backups.folder.mkdir()
    ahead = backups.folder / "d4861c73-11111111-2030-01-01T00-00-00Z.carelog"
    ahead.touch()
    assert backups.is_due()
    made = backups.make()
    assert not backups.is_due()
    assert backups.newest() == made
    clock.instant += HOUR
    assert not backups.is_due()
    for _ in range(30):
        clock.instant += HOUR
        backups.make()
    assert ahead.exists()


def test_two_computers_on_one_stick_neither_count_nor_remove_the_others_copies(
    backups: Backups, clock: Set, tmp_path: Path
) -> None:
    other = Backups(tmp_path / "odette-farrow.carelog", PERSON, backups.folder, copy, clock, THERE)
    theirs = other.make()
    assert theirs.path.name == "d4861c73-22222222-2026-11-25T13-05-01Z.carelog"
    assert backups.is_due()
    for _ in range(30):
        clock.instant += HOUR
        backups.make()
    assert other.kept() == [theirs]
    assert theirs not in backups.kept()


def test_a_copy_is_known_by_its_name_also_one_without_a_computers(tmp_path: Path) -> None:
    for name, is_one in (
        ("d4861c73-11111111-2026-11-25T13-05-01Z.carelog", True),
        ("d4861c73-2026-11-25T13-05-01Z.carelog", True),
        ("d4861c73-11111111-2026-11-25T13-05-01Z-2.carelog", True),
        ("record.carelog", False),
        ("d4861c73-11111111-2026-11-25.carelog", False),
    ):
        assert module.is_copy(tmp_path / name) is is_one
