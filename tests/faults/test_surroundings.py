"""A wrong clock, a left journal, other records' drafts, failed copies, missing locks, another computer."""

import os

import pytest

from tests.faults import __main__ as table
from tests.faults import clocks, journals, locks, rivals, rounds, typed
from tests.store.lockless import can_be_told_otherwise


def test_a_figure_that_nobody_knows_is_named_in_one_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    assert table.main(["--only", "clock,powr"]) == 2
    told = capsys.readouterr()
    assert (told.out, told.err.count("\n"), "“powr”" in told.err) == ("", 1, True)


def test_wrong_clocks_file_nothing_under_a_wrong_time() -> None:
    done = clocks.many(20)
    assert done.is_clean, done
    believed = clocks.many(10, clocks.Believing)
    assert (believed.unasked, believed.misfiled > 0) == (10, True)


def test_what_commands_write_by_a_wrong_clock_is_moved_or_asked_about() -> None:
    done = clocks.commands(40)
    assert done.is_clean, done
    assert clocks.commands(20, clocks.Believing).misfiled > 0


def test_a_journal_that_was_left_spoils_no_record() -> None:
    done = journals.many(3)
    assert done.is_clean, done
    assert journals.many(3, (journals.copied,)).spoiled == 3


def test_no_draft_is_lost_to_another_records_window() -> None:
    done = typed.many(20)
    assert done.is_clean, done
    assert typed.many(20, typed.one_for_all).lost > 0


def test_each_copy_that_fails_is_told_and_none_is_claimed() -> None:
    done = rounds.many(5)
    assert done.is_clean, done
    control = rounds.many(5, rounds.by_names)
    assert control.untold == control.failed > 0
    assert control.claimed > 0


@pytest.mark.skipif(os.name != "posix", reason="locks of POSIX")
def test_missing_locks_keep_no_window_out_and_are_said() -> None:
    done = locks.windows(30)
    assert done.is_clean, done
    assert locks.windows(10, locks.every_failure_is_a_window).kept_out > 0


@pytest.mark.skipif(not can_be_told_otherwise(), reason="the driver brings its own SQLite")
def test_missing_locks_are_named_by_commands_and_present_ones_arent() -> None:
    done = locks.commands(2)
    assert done.is_clean, done
    assert locks.commands(1, has_locks=True).unnamed == 1


def test_what_two_computers_changed_is_told_and_stays_urgent() -> None:
    done = rivals.many(8)
    assert done.is_clean, done
    assert rivals.many(4, rivals.only_counted).untold > 0
    assert rivals.many(4, read=rivals.last_wins).silenced > 0
