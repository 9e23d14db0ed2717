"""A power cut, and a full disk, on a real file system."""

import pytest

from tests.faults import loop_disk

CUTS = 8


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
    assert any(loop_disk.many(CUTS, control=True, seed=seed).lost for seed in range(4))


def test_a_full_disk_is_named_and_loses_nothing() -> None:
    outcome = loop_disk.full(3)
    assert outcome.points == 3
    assert outcome.acknowledged > 10
    assert outcome.is_clean, outcome
