"""A power cut loses nothing that somebody was told is saved, and leaves nothing half done."""

from tests.faults import cuts

CUTS = 150


def test_power_cuts_lose_nothing_that_was_acknowledged() -> None:
    outcome = cuts.many(CUTS, cuts.by_the_store)
    assert outcome.cuts == CUTS
    assert outcome.acknowledged > 1000
    assert outcome.is_clean, outcome


def test_the_same_cuts_lose_entries_under_the_default_settings() -> None:
    outcome = cuts.many(CUTS, cuts.by_default_settings)
    assert outcome.lost > 0, outcome
