"""A spoiled copy never becomes a record, and a copy takes no notice of a writer beside it."""

import errno
import os
import threading
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from itertools import islice
from pathlib import Path

import pytest

from carelog.domain.trouble import Refused, Trouble
from carelog.domain.turn import Unwanted, asking
from carelog.store import backup, pages, sealed
from carelog.store import record as stored
from carelog.store.backup import back_up, examine, restore
from carelog.store.pages import copy_pages
from carelog.store.sealed import seal_copy
from tests.faults import copies, failing
from tests.faults.sealed import HOUSE
from tests.store.making import THERE, entry, fresh, numbers, opened


def test_no_spoiled_copy_becomes_a_record() -> None:
    outcome = copies.spoiled(60)
    assert outcome.copies == 60
    assert outcome.refused > 40
    assert outcome.is_clean, outcome


def test_a_plain_copy_would_take_spoiled_ones() -> None:
    assert copies.spoiled(60, copies.by_plain_copy).taken


def test_a_copy_that_nobody_waits_for_any_more_is_given_up_and_leaves_nothing(tmp_path: Path) -> None:
    path, target, asked = tmp_path / "record.carelog", tmp_path / "back.carelog", list[int]()
    record = fresh(path)
    record.append([entry(n) for n in range(600)])
    record.close()
    with asking(lambda: asked.append(1)):
        assert restore(path, target) == 600  # the control
    target.unlink()
    assert len(asked) > 8  # while the copy is held against its hashes, too
    for last in (1, len(asked) // 2, len(asked)):
        left = iter(range(last - 1))

        def end(left: Iterator[int] = left) -> None:
            if next(left, None) is None:
                raise Unwanted

        with asking(end), pytest.raises(Unwanted):
            restore(path, target)
        assert [each.name for each in tmp_path.iterdir()] == ["record.carelog"]


@pytest.mark.parametrize("number", [errno.EIO, errno.ENOTCONN, errno.ENODEV])
def test_a_stick_that_goes_away_in_mid_copy_is_not_told_as_if_the_record_had_failed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    path = tmp_path / "record.carelog"
    record = fresh(path)
    record.append([entry(1)])
    record.close()

    def gone(_file: Path) -> None:
        raise OSError(number, os.strerror(number))

    for place, make in ((backup, back_up), (sealed, lambda one, two: seal_copy(one, two, HOUSE))):
        with monkeypatch.context() as patch:
            patch.setattr(place, "sync", gone)
            with pytest.raises(Trouble, match="could not be written") as told:
                make(path, tmp_path / "copy.carelog")
        assert "The record is as it was." in told.value.sentence
        assert "record.carelog" not in told.value.sentence
    assert sorted(each.name for each in tmp_path.iterdir()) == ["record.carelog"]


def test_a_copy_of_a_record_whose_own_disk_fails_says_so(tmp_path: Path) -> None:
    """The control: the same failure, of the record's own file."""
    path = tmp_path / "record.carelog"
    record = fresh(path)
    record.append([entry(n) for n in range(400)])
    record.close()
    told = []
    for at in range(20, 60, 4):
        with failing.Faults(at, for_good=True).around() as connect, pytest.raises(Trouble) as trouble:
            back_up(path, tmp_path / "copy.carelog", connect)
        told.append(trouble.value.sentence)
    assert any("The disk failed while “record.carelog”" in each for each in told)
    assert not any("The record is as it was" in each for each in told)


def test_a_copy_never_takes_a_place_that_is_taken(tmp_path: Path) -> None:
    path, copy = tmp_path / "record.carelog", tmp_path / "copy.carelog"
    record = fresh(path)
    record.append([entry(1)])
    record.close()
    copy.write_text("mine")
    with pytest.raises(Refused, match="there already"):
        back_up(path, copy)
    assert copy.read_text() == "mine"
    assert sorted(each.name for each in tmp_path.iterdir()) == ["copy.carelog", "record.carelog"]


def test_a_copy_that_reads_back_otherwise_is_thrown_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, copy = tmp_path / "record.carelog", tmp_path / "copy.carelog"
    record = fresh(path)
    record.append([entry(1, note="settled")])
    record.close()

    def rot(file: Path) -> None:
        file.write_bytes(file.read_bytes().replace(b"settled", b"nettled"))

    monkeypatch.setattr(backup, "forget_cached", rot)
    with pytest.raises(Trouble, match="could not be read back"):
        back_up(path, copy)
    assert not copy.exists()
    monkeypatch.undo()
    assert back_up(path, copy) == 1
    assert os.stat(copy).st_mode & 0o777 == 0o600


@pytest.mark.skipif(not hasattr(os, "posix_fadvise"), reason="this system forgets nothing when asked")
def test_a_copy_is_read_back_from_the_disk_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[tuple[int, int, int]] = []
    monkeypatch.setattr(os, "posix_fadvise", lambda _handle, *how: told.append(how))
    record = fresh(tmp_path / "record.carelog")
    record.append([entry(1)])
    record.close()
    assert back_up(record.path, tmp_path / "copy.carelog") == 1
    assert told == [(0, 0, os.POSIX_FADV_DONTNEED)]  # from the first byte to the last, whichever that is


@pytest.mark.parametrize("stretch", [1, pages.STRETCH])
def test_a_copy_beside_a_writer_is_one_moment_of_the_record(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stretch: int
) -> None:
    monkeypatch.setattr(stored, "copy_pages", partial(copy_pages, stretch=stretch))
    path = tmp_path / "record.carelog"
    record = fresh(path)
    record.append([entry(0)])
    stop = threading.Event()

    def write() -> None:
        other, number = opened(path, THERE), 1
        while not stop.is_set():
            other.append([entry(2 * number), entry(2 * number + 1)])
            number += 1
        other.close()

    thread = threading.Thread(target=write)
    thread.start()
    try:
        for number in range(5):
            copy = tmp_path / f"{number}.carelog"
            count = back_up(path, copy)
            assert count % 2 == 1
            assert examine(copy).count == count
            assert examine(copy).damage == ()
    finally:
        stop.set()
        thread.join()
    record.close()


@pytest.mark.parametrize("times", [0, 1, pages.OVERTAKEN, None])
def test_what_is_saved_between_two_stretches_of_a_copy_is_saved_then_and_is_in_the_copy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, times: int | None
) -> None:
    """None: something is saved in each pause, until the copy is made in one stretch."""
    monkeypatch.setattr(stored, "copy_pages", partial(copy_pages, stretch=4))
    path, copy = tmp_path / "record.carelog", tmp_path / "copy.carelog"
    record = fresh(path)
    record.append([entry(n) for n in range(200)])
    other, saved = opened(path, THERE), iter(range(200, 300 if times is None else 200 + times))
    is_saving = False

    def save() -> None:
        nonlocal is_saving
        if not is_saving:  # saving asks, too
            is_saving = True
            other.append([entry(number) for number in islice(saved, 1)])
            is_saving = False

    source = opened(path)
    copy.touch()
    with asking(save):
        source.copy_into(copy)
    examined = examine(copy)
    assert examined.damage == ()
    assert examined.count == other.count()
    assert (times is None) == (other.count() > 200 + pages.OVERTAKEN)
    for each in (source, other, record):
        each.close()


def test_a_long_record_in_which_something_is_saved_again_and_again_is_copied_whole(tmp_path: Path) -> None:
    """So long that pages of the copy lie on the disk already when it is begun anew in one stretch."""
    path, copy = tmp_path / "record.carelog", tmp_path / "copy.carelog"
    record = fresh(path)
    record.append([replace(entry(n), note="long" * 3000) for n in range(400)])
    assert path.stat().st_size > 2 * pages.STRETCH * 4096
    other, saved = opened(path, THERE), iter(range(400, 500))
    is_saving = False

    def save() -> None:
        nonlocal is_saving
        if not is_saving:
            is_saving = True
            other.append([entry(number) for number in islice(saved, 1)])
            is_saving = False

    with asking(save):
        back_up(path, copy)
    examined = examine(copy)
    assert examined.damage == ()
    assert examined.count > 400 + pages.OVERTAKEN
    for each in (other, record):
        each.close()


def test_a_record_comes_back_with_everything(tmp_path: Path) -> None:
    path, copy, back = (tmp_path / f"{name}.carelog" for name in ("record", "copy", "back"))
    record = fresh(path)
    record.append([entry(n) for n in range(5)])
    record.close()
    back_up(path, copy)
    assert restore(copy, back) == 5
    again = opened(back, THERE)
    again.append([entry(9)])
    assert numbers(again.everything()) == [0, 1, 2, 3, 4, 9]
    assert again.check() == []
    again.close()
