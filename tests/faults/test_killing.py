"""kill -9 loses nothing that was told as saved, and at most two seconds of typing."""

from tests.faults import killing


def test_ending_the_script_loses_nothing_it_told() -> None:
    outcome = killing.script(4)
    assert outcome.acknowledged > 4
    assert outcome.is_clean, outcome


def test_ending_an_import_or_a_copy_leaves_all_or_nothing() -> None:
    outcome = killing.jobs(4)
    assert outcome.kills == 4
    assert outcome.is_clean, outcome


def test_telling_before_saving_is_caught() -> None:
    assert killing.script(8, control=True).lost > 0


def test_ending_the_window_loses_nothing_it_showed_as_saved() -> None:
    outcome = killing.window(1)
    assert outcome.acknowledged > 0
    assert outcome.is_clean, outcome
