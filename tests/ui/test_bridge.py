"""Calls of other threads reach the window's in their order, once each, and nothing of them is kept."""

import threading
import weakref

from pytestqt.qtbot import QtBot

from carelog.ui.bridge import Bridge

MANY = 2000


def test_calls_come_in_the_order_of_asking_and_are_let_go_of(qtbot: QtBot) -> None:
    bridge, done, kept = Bridge(), list[int](), list["weakref.ref[Job]"]()

    class Job:
        def __init__(self, number: int) -> None:
            self.number = number

        def __call__(self) -> None:
            assert threading.current_thread() is threading.main_thread()
            done.append(self.number)

    def ask() -> None:
        for number in range(MANY):
            job = Job(number)
            kept.append(weakref.ref(job))
            bridge.call(job)

    thread = threading.Thread(target=ask)
    thread.start()
    qtbot.waitUntil(lambda: len(done) == MANY, timeout=60_000)
    thread.join()
    assert done == list(range(MANY))
    qtbot.waitUntil(lambda: all(each() is None for each in kept), timeout=10_000)


def test_a_call_of_the_windows_own_thread_waits_its_turn_too(qtbot: QtBot) -> None:
    bridge, done = Bridge(), list[str]()
    bridge.call(lambda: done.append("called"))
    assert done == []
    qtbot.waitUntil(lambda: done == ["called"])


def test_after_its_end_nothing_is_called(qtbot: QtBot) -> None:
    bridge, done = Bridge(), list[str]()
    bridge.end()
    bridge.call(lambda: done.append("called"))
    qtbot.wait(20)
    assert done == []


def test_what_is_on_its_way_when_the_window_goes_reaches_nothing_of_it(qtbot: QtBot) -> None:
    bridge, done = Bridge(), list[str]()
    bridge.call(lambda: done.append("called"))
    bridge.end()
    qtbot.wait(20)
    assert done == []
