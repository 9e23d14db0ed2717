"""A wrong clock files nobody's care under another day: what is reckoned with when it can't be believed."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from carelog.app.reckoning import LONG_AWAY, SLACK, Reckoning, steady_now
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Instant
from tests.store.making import entry

NOON = 1_795_000_000_000_000
YEAR = 365 * DAY_24_H


class Computer:
    """A computer with a clock that can be wrong, and a steady one that can't."""

    def __init__(self, folder: Path) -> None:
        self.file = folder / "clock.json"
        self.shown: Instant = NOON
        self.ticks: Instant = 0
        self.boot = ""

    def now(self) -> Instant:
        return self.shown

    def zone(self) -> str:
        return "Europe/London"

    def go_on(self, by: Instant) -> None:
        self.shown += by
        self.ticks += by

    def switch_on(self, shown: Instant) -> None:
        """Switched off, and on again with this on its clock; the steady one begins anew."""
        self.shown, self.ticks, self.boot = shown, MINUTE, f"{self.boot}+"

    def start(self, *, is_window: bool = True) -> Reckoning:
        found = Reckoning(self, self.file, lambda: self.ticks, self.boot)
        if is_window:
            found.watch()
        return found


@pytest.fixture
def computer(tmp_path: Path) -> Computer:
    return Computer(tmp_path)


def pressed(reckoning: Reckoning, number: int = 1) -> Entry:
    """An entry that is recorded now, as the window does it."""
    made = replace(entry(number), recorded_at=reckoning.now())
    reckoning.witness([made])
    return made


def test_a_clock_that_nothing_speaks_against_is_what_is_reckoned_with(computer: Computer) -> None:
    reckoning = computer.start()
    for _hour in range(72):
        computer.go_on(HOUR)
        pressed(reckoning)
        assert reckoning.now() == computer.shown
        assert reckoning.doubt() is None


def test_a_start_before_the_newest_entry_written_here_is_in_doubt(computer: Computer) -> None:
    pressed(computer.start())
    computer.shown = NOON - 16 * YEAR
    reckoning = computer.start()
    doubt = reckoning.doubt()
    assert doubt is not None
    assert (doubt.shown, doubt.written) == (computer.shown, NOON)


@pytest.mark.parametrize(("back", "is_doubted"), [(SLACK, False), (SLACK + 1, True)])
def test_a_quarter_of_an_hour_is_forgiven(computer: Computer, back: Instant, is_doubted: bool) -> None:
    pressed(computer.start())
    computer.shown -= back
    assert (computer.start().doubt() is not None) == is_doubted


def test_while_it_isnt_answered_time_goes_on_from_the_newest_entry(computer: Computer) -> None:
    pressed(computer.start())
    computer.shown = NOON - 16 * YEAR
    reckoning = computer.start()
    computer.go_on(5 * MINUTE)
    assert reckoning.now() == NOON + 5 * MINUTE


@pytest.mark.parametrize("jump", [-YEAR, -HOUR, HOUR, 14 * YEAR])
def test_a_jump_while_running_keeps_the_time_that_went_on(computer: Computer, jump: Instant) -> None:
    reckoning = computer.start()
    computer.go_on(HOUR)
    assert reckoning.doubt() is None
    computer.shown += jump
    assert reckoning.doubt() is not None
    computer.go_on(MINUTE)
    assert reckoning.now() == NOON + HOUR + MINUTE


def test_sleep_is_no_jump(computer: Computer) -> None:
    reckoning = computer.start()
    computer.go_on(9 * HOUR)
    assert reckoning.doubt() is None


def test_a_clock_set_back_to_what_it_was_is_believed_again(computer: Computer) -> None:
    reckoning = computer.start()
    computer.shown -= YEAR
    assert reckoning.doubt() is not None
    computer.shown += YEAR
    assert reckoning.doubt() is None
    assert reckoning.now() == computer.shown


def test_a_start_years_after_the_last_entry_is_asked_about(computer: Computer) -> None:
    pressed(computer.start())
    computer.shown += LONG_AWAY + 2 * SLACK
    assert computer.start().doubt() is not None


def test_two_months_away_raise_no_question(computer: Computer) -> None:
    pressed(computer.start())
    computer.shown += LONG_AWAY
    assert computer.start().doubt() is None


def test_an_import_says_nothing_about_this_clock(computer: Computer) -> None:
    reckoning = computer.start()
    reckoning.witness([replace(entry(1), recorded_at=NOON + YEAR)])
    assert computer.start().doubt() is None


def test_the_answer_is_reckoned_with_and_kept_for_the_next_start(computer: Computer) -> None:
    pressed(computer.start())
    computer.shown = NOON - 16 * YEAR
    computer.start().settle(NOON + HOUR)
    computer.go_on(MINUTE)
    again = computer.start()
    assert again.doubt() is None
    assert again.now() == NOON + HOUR + MINUTE


def test_a_clock_put_right_while_closed_ends_the_answer(computer: Computer) -> None:
    pressed(computer.start())
    computer.shown = NOON - 16 * YEAR
    computer.start().settle(NOON + HOUR)
    computer.shown = NOON + 5 * HOUR
    again = computer.start()
    assert again.doubt() is None
    assert again.now() == NOON + 5 * HOUR


def test_a_clock_that_was_ahead_and_is_put_right_ends_the_answer(computer: Computer) -> None:
    pressed(computer.start())
    computer.shown = NOON + 14 * YEAR
    computer.start().settle(NOON + HOUR)
    assert computer.start().now() == NOON + HOUR
    computer.shown = NOON + 2 * HOUR
    assert computer.start().now() == NOON + 2 * HOUR


def test_a_clock_put_right_while_running_ends_the_answer(computer: Computer) -> None:
    pressed(computer.start())
    computer.shown = NOON - 16 * YEAR
    reckoning = computer.start()
    reckoning.settle(NOON + HOUR)
    computer.shown = NOON + HOUR
    assert reckoning.doubt() is None
    assert reckoning.now() == NOON + HOUR
    computer.go_on(MINUTE)
    assert reckoning.now() == computer.shown


def test_a_date_that_is_right_after_all_is_asked_about_once(computer: Computer) -> None:
    pressed(computer.start())
    computer.shown += YEAR
    reckoning = computer.start()
    reckoning.settle(computer.shown)
    assert reckoning.doubt() is None
    assert computer.start().doubt() is None


def test_an_answer_before_the_newest_entry_isnt_asked_about_again(computer: Computer) -> None:
    computer.shown = NOON + YEAR
    pressed(computer.start())
    computer.shown = NOON
    computer.start().settle(NOON)
    assert computer.start().doubt() is None


def test_what_was_taken_in_doubt_is_moved_by_the_answer(computer: Computer) -> None:
    pressed(computer.start(), 1)
    computer.shown = NOON - 16 * YEAR
    reckoning = computer.start()
    computer.go_on(10 * MINUTE)
    taken = pressed(reckoning, 2)
    assert reckoning.owed() == {}
    computer.go_on(20 * MINUTE)
    reckoning.settle(NOON + 3 * DAY_24_H)
    moved = reckoning.owed()
    assert set(moved) == {taken.id}
    assert taken.recorded_at + moved[taken.id] == NOON + 3 * DAY_24_H - 20 * MINUTE
    reckoning.paid(moved)
    assert reckoning.owed() == {}


def test_what_was_taken_in_doubt_is_still_owed_after_another_start(computer: Computer) -> None:
    pressed(computer.start(), 1)
    computer.shown = NOON - 16 * YEAR
    taken = pressed(computer.start(), 2)
    computer.go_on(DAY_24_H)
    again = computer.start()
    again.settle(NOON + 3 * DAY_24_H)
    assert taken.recorded_at + again.owed()[taken.id] == NOON + 2 * DAY_24_H


def test_a_clock_that_comes_right_by_itself_moves_what_was_taken(computer: Computer) -> None:
    pressed(computer.start(), 1)
    computer.shown = NOON - 16 * YEAR
    reckoning = computer.start()
    taken = pressed(reckoning, 2)
    computer.ticks += MINUTE
    computer.shown = NOON + 2 * DAY_24_H + MINUTE
    assert reckoning.doubt() is None
    assert taken.recorded_at + reckoning.owed()[taken.id] == NOON + 2 * DAY_24_H


def test_a_command_too_goes_on_from_the_newest_entry_while_nobody_has_answered(computer: Computer) -> None:
    pressed(computer.start())
    computer.shown = NOON - 16 * YEAR
    command = computer.start(is_window=False)
    assert command.doubt() is not None
    assert command.now() == NOON


def test_commands_and_windows_reckon_on_together_while_the_computer_is_on(computer: Computer) -> None:
    computer.switch_on(NOON)
    pressed(computer.start(is_window=False), 1)
    computer.switch_on(NOON - 16 * YEAR)
    first = pressed(computer.start(is_window=False), 2)
    computer.go_on(HOUR)
    second = pressed(computer.start(is_window=False), 3)
    computer.go_on(HOUR)
    window = computer.start()
    assert (first.recorded_at, second.recorded_at, window.now()) == (NOON, NOON + HOUR, NOON + 2 * HOUR)
    window.settle(NOON + 5 * HOUR)
    assert window.owed() == {first.id: 3 * HOUR, second.id: 3 * HOUR}


@pytest.mark.parametrize("jump", [-YEAR, -HOUR, 20 * DAY_24_H, 14 * YEAR])
@pytest.mark.parametrize("is_window", [True, False])
def test_a_clock_set_while_nothing_was_open_is_seen_by_the_steady_one(
    computer: Computer, jump: Instant, is_window: bool
) -> None:
    computer.switch_on(NOON)
    pressed(computer.start())
    computer.go_on(HOUR)
    computer.shown += jump
    started = computer.start(is_window=is_window)
    doubt = started.doubt()
    assert doubt is not None
    assert doubt.is_jump
    assert started.now() == NOON + HOUR


def test_a_night_of_sleep_between_two_starts_is_no_jump(computer: Computer) -> None:
    computer.switch_on(NOON)
    pressed(computer.start())
    computer.go_on(9 * HOUR)
    assert computer.start().doubt() is None
    assert computer.start(is_window=False).now() == NOON + 9 * HOUR


def test_a_clock_put_right_before_anybody_was_asked_moves_what_was_taken(computer: Computer) -> None:
    computer.switch_on(NOON)
    pressed(computer.start(is_window=False), 1)
    computer.switch_on(NOON - 16 * YEAR)
    taken = pressed(computer.start(is_window=False), 2)
    computer.go_on(HOUR)
    computer.shown = NOON + DAY_24_H + HOUR
    again = computer.start()
    assert again.doubt() is None
    assert again.asked() == ()
    assert taken.recorded_at + again.owed()[taken.id] == NOON + DAY_24_H


def test_what_was_taken_before_the_computer_was_switched_off_is_asked_about(computer: Computer) -> None:
    computer.switch_on(NOON)
    pressed(computer.start(is_window=False), 1)
    computer.switch_on(NOON - 16 * YEAR)
    taken = pressed(computer.start(is_window=False), 2)
    assert computer.start().asked() == ()  # not while the clock itself is asked about
    computer.switch_on(NOON + 2 * DAY_24_H)
    again = computer.start()
    assert (again.doubt(), again.asked(), again.owed()) == (None, (taken.id,), {})
    again.paid([taken.id])
    assert computer.start().asked() == ()


def test_a_clock_that_fell_back_once_more_moves_nothing_by_one_answer(computer: Computer) -> None:
    """Between two falls to the same day the computer was off for a time that nobody knows."""
    computer.switch_on(NOON)
    pressed(computer.start(), 1)
    computer.switch_on(NOON - 16 * YEAR)
    first = pressed(computer.start(), 2)
    computer.go_on(HOUR)
    pressed(computer.start(), 3)
    computer.switch_on(NOON - 16 * YEAR)
    again = computer.start()
    second = pressed(again, 4)
    again.settle(NOON + 3 * DAY_24_H)
    assert first.id in again.asked()
    assert list(again.owed()) == [second.id]


def test_what_a_command_took_beside_an_open_window_is_put_right_by_its_answer(computer: Computer) -> None:
    computer.switch_on(NOON)
    window = computer.start()
    pressed(window, 1)
    computer.shown -= YEAR
    assert window.doubt() is not None
    taken = pressed(computer.start(is_window=False), 2)
    computer.go_on(MINUTE)
    window.settle(NOON + MINUTE)
    assert taken.recorded_at == NOON
    assert window.owed() == {taken.id: 0}


def test_entries_named_by_a_person_are_asked_about_until_they_are_put_right(computer: Computer) -> None:
    reckoning = computer.start()
    reckoning.ask_about(["a", "b"])
    reckoning.ask_about(["b"])
    again = computer.start()
    assert again.asked() == ("a", "b")
    again.paid(["a"])
    assert again.asked() == ("b",)


def test_a_command_reckons_with_the_answer_given_in_the_window(computer: Computer) -> None:
    pressed(computer.start())
    computer.shown = NOON - 16 * YEAR
    computer.start().settle(NOON + HOUR)
    assert computer.start(is_window=False).now() == NOON + HOUR


@pytest.mark.parametrize(
    "kept",
    [
        "",
        "[]",
        "{",
        '{"written": "x", "owed": 3}',
        '{"written": 1e99, "offset": null}',
        "null",
        "\udcff",
        '{"taken": 1e400}',
    ],
)
def test_a_file_that_isnt_as_written_counts_as_none(computer: Computer, kept: str) -> None:
    computer.file.write_bytes(kept.encode("utf-8", "surrogateescape"))
    reckoning = computer.start()
    assert reckoning.doubt() is None
    assert reckoning.now() == NOON


def test_the_file_names_nobody(computer: Computer) -> None:
    pressed(computer.start())
    assert set(json.loads(computer.file.read_text())) <= {
        "written",
        "shown",
        "offset",
        "believed",
        "correction",
        "boot",
        "steady",
        "taken",
        "has_jumped",
        "owed",
        "asked",
    }


def test_the_steady_clock_only_goes_on() -> None:
    first = steady_now()
    assert 0 <= steady_now() - first < HOUR
