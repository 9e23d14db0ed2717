"""A record that was opened is closed: one that couldn't be read, and one that the window never heard of."""

import ast
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from carelog.app.ports import Record
from carelog.domain.trouble import Trouble
from carelog.ui.access import Access, Opener, Stage
from tests.architecture.tree import modules
from tests.ui.household import Memory, Numbered, StandingClock

Accesses = Callable[[Opener], Access]


@pytest.fixture
def accesses(tmp_path: Path, qtbot: QtBot) -> Iterator[Accesses]:
    """Makes accesses to a file that is there, and ends them after the test."""
    path = tmp_path / "record.carelog"
    path.touch()
    made: list[Access] = []

    def access_by(opener: Opener) -> Access:
        made.append(Access(path, opener, StandingClock(), Numbered()))
        return made[-1]

    yield access_by
    for each in made:
        each.close()


def test_a_record_whose_first_reading_fails_is_closed_again(accesses: Accesses, qtbot: QtBot) -> None:
    record = Memory()
    access = accesses(lambda _path: record)
    access.when_preparing.append(unreadable)
    access.open()
    qtbot.waitUntil(lambda: access.stage is Stage.FAILED)
    assert access.trouble == "A page is damaged."
    assert record.is_closed


def unreadable(_record: Record) -> None:
    raise Trouble("A page is damaged.")


def test_a_record_that_is_still_being_opened_when_the_window_ends_is_closed(
    accesses: Accesses, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("carelog.ui.access.OPENING_WAIT", 0)
    record, may_open = Memory(), threading.Event()

    def opener(_path: Path) -> Record:
        may_open.wait()
        return record

    access = accesses(opener)
    access.when_ending.append(may_open.set)
    access.open()
    access.close()
    assert access.stage is Stage.OPENING
    assert record.is_closed


def test_a_record_is_closed_before_another_takes_its_place(accesses: Accesses, qtbot: QtBot) -> None:
    records = [Memory(), Memory()]
    seen: list[bool] = []
    access = accesses(lambda _path: records[len(seen)])
    access.open()
    qtbot.waitUntil(access.is_open)
    access.begin_anew(lambda: seen.append(records[0].is_closed))
    qtbot.waitUntil(access.is_open)
    assert seen == [True]
    assert not records[1].is_closed
    access.close()
    assert records[1].is_closed


def parentless(source: str) -> list[int]:
    """The lines on which a timer is made that belongs to nothing."""
    calls = (each for each in ast.walk(ast.parse(source)) if isinstance(each, ast.Call))
    return [
        each.lineno
        for each in calls
        if ast.unparse(each.func).split(".")[-1] == "QTimer" and not each.args and not each.keywords
    ]


def test_every_timer_belongs_to_something_that_ends_it_in_the_windows_thread() -> None:
    """One that the garbage collector takes apart in another thread ends the process."""
    made = ("QTimer(self)", "QtCore.QTimer(self)", "QTimer.singleShot(0, go)", "QTimer(parent=self)")
    bare = ("QTimer()", "QtCore.QTimer()", "PySide6.QtCore.QTimer()")
    assert [parentless(each) for each in made] == [[]] * len(made)
    assert [parentless(each) for each in bare] == [[1]] * len(bare)  # the control
    assert {each.name: parentless(each.read_text("utf-8")) for each in modules() if "ui" in each.parts} == {
        each.name: [] for each in modules() if "ui" in each.parts
    }
