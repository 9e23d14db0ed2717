"""A window on a made-up household, offscreen."""

import io
import os
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from carelog.app.outlook import Picture
from carelog.app.ports import Record
from carelog.commands.surroundings import Surroundings
from carelog.commands.window import parts as real_parts
from carelog.paths import Places
from carelog.sheet import PaperSheets
from carelog.ui import repeats
from carelog.ui.access import Stage
from carelog.ui.application import build, furnish
from carelog.ui.pages import Spot, standing
from carelog.ui.parts import Parts
from carelog.ui.repeats import SAME_PRESS
from carelog.ui.rest import Rest
from carelog.ui.window import Window
from tests.ui import items
from tests.ui.household import Memory, Numbered, StandingClock, household
from tests.ui.items import our_layouts  # noqa: F401 — a fixture that every test uses

BEGINNINGS = ("begin_record", "look_round", "open_other", "take_up_other")
"""What a start without a record offers, once it was said how large the text is."""
A_MOMENT = 1.0  # s
LISTED = {f"go_{page.name}" for page in standing(Spot.LIST)}


PATIENCE = 60  # s; a busy computer isn't a defect


class PressClock:
    """The clock by which repeated presses are told: it stands but in a pause, however slow a computer."""

    now = 0  # ms

    def monotonic_ns(self) -> int:
        return self.now * 1_000_000


PRESSES = PressClock()


@pytest.fixture(autouse=True)
def presses_timed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every press of a test that has no time of its own is timed by the clock that stands."""
    monkeypatch.setattr(repeats, "time", PRESSES)


def go_on() -> None:
    """Let the window do what it is to do now, and let go of what is to be deleted."""
    QCoreApplication.processEvents()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def _is_so(asked: Callable[[], bool]) -> bool:
    try:
        return asked()
    except AssertionError:  # what was looked for isn't there yet
        return False


@dataclass
class Opened:
    """A window, its house, and what stands behind it."""

    window: Window
    rest: Rest
    record: Memory
    clock: StandingClock
    bot: QtBot

    def find(self, name: str, kind: type[Any] = QWidget) -> Any:
        """The widget of this object name on the page that is open, or in the window's frame."""

        def seen() -> list[Any]:
            return [w for w in self.window.findChildren(kind, name) if w.isVisibleTo(self.window)]

        last = time.monotonic() + A_MOMENT
        while not seen() and time.monotonic() < last:  # the receipt's choices come with the next frame
            self.bot.wait(5)
        found = seen()
        assert found, f"no visible widget is named {name}"
        return found[0]

    def press(self, name: str) -> None:
        """Press the button of this name; one of a page that the rail has no place for, in the rail's list."""
        if name in LISTED and not any(w.isVisible() for w in self.window.findChildren(QWidget, name)):
            self.find("go_others").click()
        if name in BEGINNINGS and not any(w.isVisible() for w in self.window.findChildren(QWidget, name)):
            self.find("welcome_on").click()
        self.find(name).click()

    def pause(self) -> None:
        """Let so long pass that another press of the same button is one of its own."""
        PRESSES.now += SAME_PRESS

    def written(self, kind: str) -> list[Any]:
        """The entries of a kind in the record."""
        return [entry for entry in self.record.entries if entry.kind == kind]

    def receipt(self) -> str:
        """What the receipt says."""
        return self.window.board.receipt.accessibleDescription()

    def shown(self) -> QWidget:
        """The page that is open."""
        page = self.window.stack.currentWidget()
        assert page is not None
        return page

    def picture(self) -> Picture:
        """What the window shows the record to be."""
        picture = self.window.desk.present.picture
        assert picture is not None
        return picture

    def wait(self, asked: Callable[[], bool]) -> None:
        """Wait until something is so, which may also be looked for in vain at first."""
        last = time.monotonic() + PATIENCE
        while not _is_so(asked):
            assert time.monotonic() < last or asked()
            go_on()
            time.sleep(0.001)

    def come_to_rest(self) -> None:
        """Wait until nothing is on its way to the window: what is read and flagged has come and is laid out.

        What one thread finds out may have another asked: the first flags, whether the file is sound.
        """
        desk = self.window.desk
        if desk.access.is_open():
            self.wait(lambda: desk.present.flags is not None)
        for _ in range(3):
            done = list[None]()
            for worker in (desk.access.patient, desk.access.reader, desk.access.writer):
                worker.ask(lambda: None, done.append, pytest.fail)
            self.wait(lambda: len(done) == 3)  # noqa: B023
        self.wait(lambda: self.window._steady._size is None)
        for _ in range(3):
            go_on()


class Painted(QObject):
    """Tells each time that a widget is painted, until its end."""

    def __init__(self, widget: QWidget, then: Callable[[], object]) -> None:
        super().__init__()
        self._widget, self._then = widget, then
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            self._then()
        return super().eventFilter(watched, event)

    def end(self) -> None:
        """Tell nothing more."""
        self._widget.removeEventFilter(self)


Opener = Callable[..., Opened]


@pytest.fixture
def parts_of(tmp_path: Path) -> Callable[..., Parts]:
    """Parts of a window around a record in memory."""

    def made(
        record: Memory,
        clock: StandingClock,
        opener: Callable[[Path], Record] | None = None,
        *,
        is_missing: bool = False,
    ) -> Parts:
        places = Places(tmp_path / "data", tmp_path / "config", tmp_path / "state")
        places.make()
        path = places.record
        if not is_missing:
            path.write_bytes(b"x")
        record.path = path
        return Parts(
            record_path=path,
            places=places,
            clock=clock,
            ids=Numbered(),
            open_record=opener or (lambda _path: record),
            make_record=lambda _path: record,
            make_demo=lambda _path, _tell: record,
            exchange=lambda: pytest.fail("no exchange here"),
            sheets=Unmade,
            give=lambda *_given: pytest.fail("nothing is given here"),
        )

    return made


class Unmade(PaperSheets):
    """The sheets that are offered; none of them is made here."""

    def make(self, *_given: Any, **_named: Any) -> bytes:
        """Make none."""
        pytest.fail("no sheets here")


def take_away(windows: Sequence[Window]) -> None:
    """Close windows and have all that is in them go: whatever is left, each later window dresses anew."""
    for window in windows:
        window.close()
        window.deleteLater()
    go_on()


@pytest.fixture
def opener(
    qtbot: QtBot, qapp: QApplication, parts_of: Callable[..., Parts], monkeypatch: pytest.MonkeyPatch
) -> Iterator[Opener]:
    """Opens windows and closes them after the test."""
    windows: list[Window] = []
    items.begin()
    monkeypatch.setattr(os, "fsync", lambda _handle: None)  # no power is cut, and the record is in memory

    def opened(record: Memory | None = None, clock: StandingClock | None = None, **given: Any) -> Opened:
        kept, held = record if record is not None else household(), clock or StandingClock()
        is_waiting = given.pop("is_waiting", True)
        window = build(parts_of(kept, held, **given), qapp)
        window.preferences.change(palette="day", text_percent=100)
        windows.append(window)
        window.resize(1024, 600)
        window.show()
        qtbot.waitExposed(window)
        found = Opened(window, furnish(window), kept, held, qtbot)
        if is_waiting:
            found.wait(lambda: window.desk.access.stage in (Stage.OPEN, Stage.MISSING, Stage.FAILED))
        return found

    yield opened
    assert items.left_items() == []
    take_away(windows)


@pytest.fixture
def on_disk(qtbot: QtBot, qapp: QApplication, tmp_path: Path) -> Iterator[Callable[..., Opened]]:
    """Opens windows on real files with the program's real parts, and closes them after the test."""
    windows: list[Window] = []

    def opened(path: Path) -> Opened:
        clock, nowhere = StandingClock(), io.StringIO()
        around = Surroundings(places_in(tmp_path), clock, Numbered(), nowhere, nowhere, io.BytesIO, {})
        window = build(real_parts(path, around), qapp)
        windows.append(window)
        window.resize(1024, 600)
        window.show()
        qtbot.waitExposed(window)
        found = Opened(window, furnish(window), Memory(), clock, qtbot)
        found.wait(lambda: window.desk.access.stage is not Stage.OPENING)
        return found

    yield opened
    take_away(windows)


def places_in(folder: Path) -> Places:
    """The three folders of a user, in a test's own."""
    places = Places(folder / "data", folder / "config", folder / "state")
    places.make()
    return places


@pytest.fixture
def opened(opener: Opener) -> Opened:
    """A window on the made-up household, its record open."""
    return opener()


@pytest.fixture
def evening(opener: Opener, monkeypatch: pytest.MonkeyPatch) -> Opened:
    """A record that was begun a moment ago; a test's presses follow one another as a hand's never do."""
    monkeypatch.setattr(repeats, "SAME_PRESS", 0)
    opened = opener(Memory(), is_missing=True)
    opened.press("begin_record")
    opened.wait(lambda: opened.window.desk.access.is_open() and opened.window.page() == "first")
    opened.find("basics_save")
    return opened
