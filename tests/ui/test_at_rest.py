"""A window that is left alone works out nothing that can't have changed."""

from carelog.domain.moment import MINUTE
from tests.ui.conftest import Opened

HALF = MINUTE // 2


def told_by_a_tick(opened: Opened) -> int:
    """How often whoever shows the record is told of something at one look of the window's timer."""
    told: list[None] = []
    opened.window.desk.present.when_changed.append(lambda: told.append(None))
    looked = opened.window.desk.access.reader
    opened.window.tick()
    done: list[None] = []
    looked.ask(lambda: None, done.append, lambda _trouble: None)
    opened.wait(lambda: bool(done))
    return len(told)


def ready(opened: Opened) -> Opened:
    """The window once its flags are read, at the beginning of a minute."""
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    opened.clock.instant = (opened.clock.instant // MINUTE + 1) * MINUTE
    told_by_a_tick(opened)
    return opened


def test_within_a_minute_nobody_is_told_of_what_they_show(opened: Opened) -> None:
    ready(opened).clock.instant += HALF
    assert told_by_a_tick(opened) == 0
    assert opened.picture().now == opened.clock.instant


def test_each_minute_everybody_is_told_as_words_have_the_time_in_them(opened: Opened) -> None:
    ready(opened).clock.instant += MINUTE
    assert told_by_a_tick(opened) == 1


def test_trouble_that_is_over_is_told_within_the_minute(opened: Opened) -> None:
    ready(opened).clock.instant += HALF
    opened.window.desk.access.say("The disk is full.")
    assert told_by_a_tick(opened) == 1
    assert opened.window.desk.access.trouble == ""
