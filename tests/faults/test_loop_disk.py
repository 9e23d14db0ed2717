"""A power cut, and a full disk, on a real file system."""

from contextlib import closing

import pytest

from carelog.domain.trouble import Trouble
from carelog.store.backup import back_up
from tests.faults import loop_disk
from tests.store.making import entry, fresh, opened
from tests.store.test_opening import cut_off

CUTS = 4


@pytest.fixture(autouse=True, scope="module")
def _possible() -> None:
    reason = loop_disk.why_not()
    if reason:
        pytest.skip(reason)


def test_power_cuts_on_a_real_disk_lose_nothing() -> None:
    outcome = loop_disk.many(CUTS)
    assert outcome.cuts == CUTS
    assert outcome.acknowledged > CUTS
    assert outcome.is_clean, outcome


def test_the_default_settings_lose_entries_on_it() -> None:
    assert any(loop_disk.many(CUTS, control=True, seed=seed).lost for seed in range(12))


def test_a_full_disk_is_named_and_loses_nothing() -> None:
    outcome = loop_disk.full(3)
    assert outcome.points == 3
    assert outcome.acknowledged > 10
    assert outcome.is_clean, outcome


def test_a_disk_that_is_read_only_is_read_and_named() -> None:
    with loop_disk.mounted() as disk:
        path = disk.place / "record.carelog"
        record = fresh(path)
        record.append([entry(1)])
        record.close()
        disk.only_read()
        record = opened(path)
        assert record.everything() == [entry(1)]
        assert record.check() == []
        with pytest.raises(Trouble, match="read-only"):
            record.append([entry(2)])
        record.close()
        with closing(fresh(disk.place / "new.carelog")) as new, pytest.raises(Trouble, match="read-only"):
            new.append([entry(1)])
        with pytest.raises(Trouble, match="read-only"):
            back_up(path, disk.place / "copy.carelog")


def test_a_cut_off_transaction_on_a_read_only_disk_is_mended_in_a_copy() -> None:
    with loop_disk.mounted() as disk:
        path = disk.place / "record.carelog"
        record = fresh(path)
        cut = cut_off(record, path)
        before = cut.read_bytes()
        disk.only_read()
        record = opened(cut)
        assert len(record.everything()) == 50
        with pytest.raises(Trouble, match="read-only"):
            record.append([entry(99)])
        record.close()
        assert cut.read_bytes() == before
