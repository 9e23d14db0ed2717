"""A round of copies: what fails keeps nothing else from being made, and each is told for what it is."""

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from carelog.app import copying, medium
from carelog.app.backups import Backups
from carelog.app.copying import NO, UNKNOWN, YES, CopyRound, Medium, copy_round
from carelog.domain.moment import DAY_24_H, Instant
from carelog.domain.trouble import Trouble
from carelog.store.backup import back_up, held_up_to
from tests.app.books import START, Desk, Hand, desk_in

Copy = Callable[[Path, Path], object]


@dataclass
class Table:
    """A record, a folder for its copies, and a stick."""

    desk: Desk
    folder: Path

    @property
    def stick(self) -> Path:
        return self.folder / "stick"

    def copies(self, folder: Path, copy: Copy, clock: Hand) -> Backups:
        return Backups(self.desk.record.path, self.desk.record.person(), folder, copy, clock, "aaaaaaaa")

    def round(self, here: Copy = back_up, there: Copy = back_up, *, is_forced: bool = True) -> CopyRound:
        """One round, a day after the one before."""
        self.desk.clock.instant += DAY_24_H
        identity = medium.choose(self.stick)
        there_copies = self.copies(medium.copies_on(self.stick), there, self.desk.clock)
        return copy_round(
            self.copies(self.folder / "backups", here, self.desk.clock),
            Medium(self.stick, identity, there_copies),
            self.desk.record.path,
            held_up_to,
            is_forced,
        )


@pytest.fixture
def table(tmp_path: Path) -> Iterator[Table]:
    (tmp_path / "stick").mkdir()
    with desk_in(tmp_path) as desk:
        desk.book.record("suction", {"colour": "white"}, "AB")
        yield Table(desk, tmp_path)


def full(_record: Path, _target: Path) -> None:
    raise Trouble("The disk is full.")


def test_a_full_disk_of_the_computer_keeps_no_copy_from_the_stick(table: Table) -> None:
    done = table.round(here=full)
    assert done.troubles == ("The disk is full.",)
    assert (done.here, done.outside_up_to) == (None, START)
    done = table.round(there=full)
    assert done.troubles == ("The disk is full.",)
    assert (done.here is not None, done.here_up_to, done.outside_up_to) == (True, START, 0)


def test_a_copy_is_judged_by_what_it_holds_and_not_by_when_it_was_made(table: Table) -> None:
    assert table.round().here_up_to == START
    table.desk.clock.instant = START + 7 * DAY_24_H
    assert table.round().here_up_to == START
    table.desk.book.record("suction", {"colour": "white"}, "AB")
    written = table.desk.clock.instant
    done = table.round()
    assert (done.here_up_to, done.outside_up_to) == (written, written)


def test_an_entry_dated_ahead_by_a_wrong_clock_makes_no_copy_younger(table: Table) -> None:
    at = table.desk.clock.instant
    table.desk.clock.instant = at + 5000 * DAY_24_H
    table.desk.book.record("suction", {"colour": "white"}, "AB")
    table.desk.clock.instant = at
    done = table.round()
    assert (done.here_up_to, done.outside_up_to) == (START, START)


def test_a_stick_pulled_out_in_the_middle_leaves_the_copies_before_and_says_so(table: Table) -> None:
    table.round()
    before = {each.name: each.read_bytes() for each in medium.copies_on(table.stick).iterdir()}
    away = table.folder / "away"

    def pulled(record: Path, target: Path) -> None:
        table.stick.rename(away)
        back_up(record, target)

    done = table.round(there=pulled)
    assert done.troubles == (copying.TAKEN_AWAY,)
    assert done.here is not None
    assert not table.stick.exists()
    assert {each.name: each.read_bytes() for each in medium.copies_on(away).iterdir()} == before


def test_a_place_that_is_no_stick_any_more_gets_a_copy_that_counts_for_nothing(table: Table) -> None:
    """The mount point stays when a stick is pulled out, and is a folder of the computer's own then."""

    def pulled(record: Path, target: Path) -> None:
        (table.stick / medium.NAME).unlink()
        back_up(record, target)

    done = table.round(there=pulled)
    assert (done.outside_up_to, done.troubles) == (0, (copying.TAKEN_AWAY,))


def test_what_was_written_into_the_empty_place_of_a_stick_is_taken_back(table: Table) -> None:
    table.round()
    away = table.folder / "away"

    def pulled(record: Path, target: Path) -> None:
        table.stick.rename(away)
        table.stick.mkdir()
        target.parent.mkdir()
        back_up(record, target)

    done = table.round(there=pulled)
    assert (done.outside_up_to, done.troubles) == (0, (copying.TAKEN_AWAY,))
    assert list(table.stick.iterdir()) == []
    assert len(list(medium.copies_on(away).iterdir())) == 1


def test_a_stick_that_went_before_its_folder_was_opened_leaves_nothing_in_its_place(
    table: Table, monkeypatch: pytest.MonkeyPatch
) -> None:
    table.round()
    found = medium.identity_of(table.stick)
    table.stick.rename(table.folder / "away")
    table.stick.mkdir()
    monkeypatch.setattr(medium, "choose", lambda _root: found)
    assert table.round().troubles == (copying.TAKEN_AWAY,)
    assert list(table.stick.iterdir()) == []


def test_a_plain_folder_is_not_outside_this_computer(table: Table) -> None:
    assert table.round().outside == NO


def test_nothing_is_made_that_is_not_due(table: Table) -> None:
    first = table.round(is_forced=False)
    table.desk.clock.instant -= DAY_24_H
    again = table.round(full, full, is_forced=False)
    assert (again.here, again.troubles) == (first.here, ())


def disk(folder: Path, number: str, name: str, *, is_removable: bool = False) -> None:
    """What the kernel shows of a partition and its disk."""
    whole = folder / "devices" / name
    part = whole / "part1"
    part.mkdir(parents=True)
    (part / "partition").write_text("1")
    (whole / "removable").write_text(f"{int(is_removable)}\n")
    (folder / number).symlink_to(part)


@pytest.mark.parametrize(
    ("name", "is_removable", "is_outside"),
    [
        ("usb1/sdb", False, True),
        ("sdb", True, True),
        ("sdb", False, None),
        ("sda", False, False),
    ],
)
def test_outside_is_what_the_kernel_says_of_the_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, is_removable: bool, is_outside: bool | None
) -> None:
    system = tmp_path / "sys"
    disk(system, "8:1", "sda")
    if name == "sda":
        shutil.copytree(system / "devices" / "sda" / "part1", system / "devices" / "sda" / "part2")
        (system / "8:17").symlink_to(system / "devices" / "sda" / "part2")
    else:
        disk(system, "8:17", name, is_removable=is_removable)
    devices: dict[Path, Instant] = {tmp_path / "record": 0x801, tmp_path / "stick": 0x811}
    monkeypatch.setattr(medium, "SYSTEM", system)
    monkeypatch.setattr(medium, "_device", devices.__getitem__)
    assert medium.is_outside(tmp_path / "stick", tmp_path / "record") is is_outside


def test_where_nothing_says_which_disk_it_is_that_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(medium, "SYSTEM", tmp_path)
    monkeypatch.setattr(medium, "_device", {tmp_path / "record": 1, tmp_path / "stick": 2}.__getitem__)
    assert medium.is_outside(tmp_path / "stick", tmp_path / "record") is None
    assert (YES, NO, UNKNOWN) == ("yes", "no", "unknown")
