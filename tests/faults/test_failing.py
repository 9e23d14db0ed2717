"""Whichever call to the disk fails, a record is as before or as after, and says why in words."""

from pathlib import Path

import apsw
import pytest

from tests.faults import failing, upgrading

STEP = 9


@pytest.mark.parametrize("job", failing.JOBS, ids=lambda job: job.name)
def test_a_failing_call_leaves_before_or_after(job: failing.Job) -> None:
    outcome = failing.every_call(job, STEP)
    assert outcome.faults >= 10
    assert outcome.told > outcome.faults / 2
    assert outcome.is_clean, outcome


def test_saving_one_by_one_is_caught_between() -> None:
    outcome = failing.every_call(failing.CONTROL, 40)
    assert outcome.between


def test_a_failing_call_leaves_the_version_before_or_this_one() -> None:
    outcome = failing.every_call(upgrading.ON_A_FAILING_DISK, 23)
    assert outcome.faults >= 20
    assert outcome.told > outcome.faults / 3
    assert outcome.is_clean, outcome


def test_an_upgrade_step_by_step_is_caught_between() -> None:
    assert failing.every_call(upgrading.WITHOUT_A_TRANSACTION, 40).between


@pytest.mark.parametrize("job", failing.JOBS, ids=lambda job: job.name)
def test_a_full_disk_is_named_and_the_next_save_works(job: failing.Job) -> None:
    outcome = failing.every_call(job, code=apsw.SQLITE_FULL, step=4)
    assert outcome.told == outcome.faults
    assert outcome.is_clean, outcome
    assert outcome.sentences == {"The disk is full. Nothing more was saved. Make room, then try again."}


def test_a_copy_is_whole_or_not_there() -> None:
    outcome = failing.copying(13)
    assert outcome.told > outcome.faults / 2
    assert outcome.is_clean, outcome


def test_all_calls_are_met() -> None:
    with failing.Faults().around() as connect:
        probe = connect("file::memory:")
        probe.close()
    faults = failing.Faults(at=1)
    with faults.around(), pytest.raises(OSError, match="Input/output"):
        Path(__file__).read_text(encoding="utf-8")
    assert faults.failed == 1
