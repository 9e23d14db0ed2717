"""A page that is asked for is painted first, then read for; what nobody waits for comes last."""

import threading
import time
from collections.abc import Callable
from itertools import pairwise

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QLabel, QWidget

from carelog.analysis.flags.watch import Watch
from carelog.domain.flag import Flag
from carelog.domain.moment import SECOND
from carelog.domain.trouble import Refused
from carelog.domain.turn import asking, give_way
from carelog.ui import worker
from carelog.ui.bridge import Bridge
from carelog.ui.flow import Flow
from carelog.ui.worker import Turn, Worker
from tests.ui.conftest import Opened

Opener = Callable[..., Opened]


def passed(turn: Turn) -> threading.Event:
    """Whether another thread that gives way has come past it."""
    done = threading.Event()

    def pass_by() -> None:
        turn.give_way()
        done.set()

    threading.Thread(target=pass_by, daemon=True).start()
    return done


def test_another_thread_waits_until_the_window_is_done() -> None:
    turn = Turn()
    assert passed(turn).wait(10)
    turn.take()
    held = passed(turn)
    assert not held.wait(0.1)
    turn.give_back()
    assert held.wait(10)


def test_the_window_itself_never_waits() -> None:
    turn = Turn()
    turn.take()
    before = time.monotonic()
    turn.give_way()
    assert time.monotonic() - before < worker.MOST / 2


def test_a_page_that_is_never_painted_holds_nobody_up_for_long(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(worker, "MOST", 0.05)
    turn = Turn()
    turn.take()
    assert passed(turn).wait(10)
    turn.take()
    turn.give_back()
    assert passed(turn).wait(10)


def test_beside_somebody_who_pages_without_pause_what_waits_goes_on_now_and_then(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(worker, "MOST", 0.05)
    monkeypatch.setattr(worker, "SHARE", 0.05)
    turn, steps = Turn(), list[float]()
    ends = time.monotonic() + 1

    def reckon() -> None:
        while time.monotonic() < ends:
            turn.give_way()
            steps.append(time.monotonic())

    turn.take()
    hand = threading.Thread(target=reckon, daemon=True)
    hand.start()
    while time.monotonic() < ends:
        turn.take()
    hand.join(10)
    shares = [late for early, late in pairwise(steps) if late - early > 0.04]
    assert len(shares) > 1
    assert len(steps) > 10 * len(shares)


def test_nobody_waits_for_a_window_that_closes() -> None:
    turn = Turn()
    turn.take()
    held = passed(turn)
    turn.end()
    assert held.wait(10)
    turn.take()
    assert passed(turn).wait(10)


def nothing(_told: object) -> None:
    pass


def test_a_job_that_was_asked_for_before_a_page_begins_after_it() -> None:
    turn, begun = Turn(), threading.Event()
    hand = Worker("test", Bridge(), turn)
    turn.take()
    hand.ask(begun.set, nothing, nothing)
    assert not begun.wait(0.1)
    turn.give_back()
    assert begun.wait(10)
    hand.end()


def test_a_job_that_the_window_itself_waits_for_goes_on() -> None:
    turn, told = Turn(), list[str]()
    hand = Worker("test", Bridge(), turn)
    turn.take()
    asked = hand.ask(lambda: "read", told.append, nothing)
    asked.wait(10)
    assert told == ["read"]
    hand.end()


def test_what_was_asked_of_the_same_thread_before_a_job_that_the_window_waits_for_goes_on_too() -> None:
    turn, told = Turn(), list[str]()
    hand, other = Worker("test", Bridge(), turn), Worker("other", Bridge(), turn)
    turn.take()
    hand.ask(lambda: told.append("before"), nothing, nothing)
    other.ask(lambda: told.append("other"), nothing, nothing)
    asked = hand.ask(lambda: "read", told.append, nothing)
    asked.wait(10)
    assert told == ["before", "read"]
    turn.give_back()
    hand.end()
    other.end()


def test_what_is_saved_gives_way_to_no_page() -> None:
    turn, saved = Turn(), threading.Event()
    writer = Worker("test", Bridge())
    turn.take()

    def save() -> None:
        give_way()
        saved.set()

    writer.ask(save, nothing, nothing)
    assert saved.wait(10)
    writer.end()


def test_a_job_ends_where_it_gives_way_once_nobody_wants_it_and_tells_nothing() -> None:
    is_wanted, begun, told = threading.Event(), threading.Event(), list[object]()
    is_wanted.set()
    hand = Worker("test", Bridge(), Turn())

    def for_ever() -> None:
        begun.set()
        while True:
            give_way()

    asked = hand.ask(for_ever, told.append, told.append, is_wanted.is_set)
    assert begun.wait(10)
    is_wanted.clear()
    asked.wait(10)
    assert asked._done.is_set()
    assert told == []
    hand.end()


def test_a_thread_that_is_ended_neither_goes_on_nor_begins_what_waits() -> None:
    begun, done = threading.Event(), list[str]()
    hand = Worker("test", Bridge(), Turn())

    def for_ever() -> None:
        begun.set()
        while True:
            give_way()

    hand.ask(for_ever, nothing, nothing)
    hand.ask(lambda: done.append("next"), nothing, nothing)
    assert begun.wait(10)
    hand.end(10)
    assert not hand._thread.is_alive()
    assert done == []


def test_one_who_asks_within_another_asks_both_and_only_as_long_as_it_lasts() -> None:
    asked = list[str]()
    with asking(lambda: asked.append("outer")):
        with asking(lambda: asked.append("inner")):
            give_way()
        give_way()
    give_way()
    assert asked == ["outer", "inner", "outer"]


@pytest.mark.usefixtures("opened")
def test_a_line_that_wraps_knows_its_height_again_after_more_is_put_into_it_out_of_sight() -> None:
    holder = QWidget()
    line = Flow(holder)
    line.addWidget(QLabel("first"))
    before = line.heightForWidth(60)
    for word in ("second", "third", "fourth"):
        line.addWidget(QLabel(word))
    assert line.heightForWidth(60) > before


def test_what_is_long_waits_from_the_asking_for_a_page_until_it_is_painted(opened: Opened) -> None:
    opened.window.go("help")
    held = passed(opened.window.desk.access.turn)
    assert not held.wait(0.1)
    opened.wait(held.is_set)


def test_a_page_that_is_asked_for_after_another_was_painted_is_waited_for_too() -> None:
    turn = Turn()
    turn.take()
    painted = turn.taken
    turn.take()
    held = passed(turn)
    turn.give_back(painted)
    assert not held.wait(0.1)
    turn.give_back(turn.taken)
    assert held.wait(10)


class AtPainting(QObject):
    """Asks something when a widget is painted, and keeps the answers."""

    def __init__(self, widget: QWidget, asked: Callable[[], bool]) -> None:
        super().__init__(widget)
        self.answers = list[bool]()
        self._asked = asked
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            self.answers.append(self._asked())
        return super().eventFilter(watched, event)


def test_a_page_that_is_asked_for_as_soon_as_another_is_painted_has_the_turn_until_it_is_painted(
    opened: Opened,
) -> None:
    turn = opened.window.desk.access.turn
    opened.window.go("help")
    opened.window.repaint()  # what is to be done after it comes when the next page is asked for already
    opened.window.go("plan")
    at_painting = AtPainting(opened.shown(), lambda: turn._is_taken)
    opened.wait(lambda: bool(at_painting.answers))
    assert at_painting.answers[0]
    opened.wait(lambda: not turn._is_taken)


def words_of(opened: Opened) -> list[str]:
    """What stands on the page that is open."""
    return [each.text() for each in opened.shown().findChildren(QLabel) if each.isVisible()]


@pytest.fixture
def slow_flags(monkeypatch: pytest.MonkeyPatch) -> threading.Event:
    """Flags that aren't read until this is set."""
    goes_on, at = threading.Event(), Watch.at

    def slowly(watch: Watch, now: int) -> list[Flag]:
        goes_on.wait(20)
        return at(watch, now)

    monkeypatch.setattr(Watch, "at", slowly)
    return goes_on


def test_a_page_is_read_while_the_first_flags_are_still_read(
    slow_flags: threading.Event, opener: Opener
) -> None:
    opened = opener()
    opened.press("go_kit")
    opened.wait(lambda: bool(words_of(opened)) and not any("Reading" in each for each in words_of(opened)))
    assert opened.window.desk.present.flags is None
    slow_flags.set()
    opened.wait(lambda: opened.window.desk.present.flags is not None)


def test_what_is_pressed_while_the_first_flags_are_read_is_in_them(
    slow_flags: threading.Event, opener: Opener
) -> None:
    opened = opener()
    present = opened.window.desk.present
    opened.clock.instant += SECOND
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    (pressed,) = [each for each in opened.record.entries if each.recorded_at == opened.clock.instant]
    opened.wait(lambda: present.picture is not None and present.picture.latest["suction"].entry == pressed)
    assert present.flags is None
    slow_flags.set()
    opened.wait(lambda: present.flags is not None)
    outlook = present._outlook
    assert outlook is not None
    assert outlook._flags is not None
    assert outlook._flags._taken is not None
    assert pressed.id in outlook._flags._taken[0].replay.ledger.entries


def test_flags_that_could_not_be_read_are_read_with_the_next_look(
    opener: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    at, failed = Watch.at, threading.Event()

    def broken(_watch: Watch, _now: int) -> list[Flag]:
        monkeypatch.setattr(Watch, "at", at)
        failed.set()
        raise Refused("no")

    monkeypatch.setattr(Watch, "at", broken)
    opened = opener()

    def is_read_after_a_look() -> bool:
        opened.window.tick()
        return opened.window.desk.present.flags is not None

    opened.wait(failed.is_set)
    opened.wait(is_read_after_a_look)
