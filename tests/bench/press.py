"""From a press to its entry durable and painted, to a raw commit with a row and a label painted.

usage: python -m tests.bench.press [--presses 200]    (offscreen, or under a display)
The floor is a window of forty buttons, a list and a label over the bare driver, the same table and settings.
Counted from when the flags are read, the file is checked and the day's copy is made and tried. What all
threads ask of the processor for a press is what an old computer waits for; other work changes it little.
"""

import argparse
import os
import shutil
import sqlite3
import statistics
import sys
import tempfile
import time
import uuid
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QGridLayout,
    QLabel,
    QListWidget,
    QMainWindow,
    QPushButton,
    QWidget,
)

from carelog.ui.slip import State
from carelog.ui.window import Window
from tests.bench import measurement, process
from tests.bench.house import Shown, shown
from tests.bench.measurement import A_MONTH, TEN_YEARS, Figure, percentile

BUTTONS = 40
SETTLE = 0.15  # s
PROCESSOR = 0.1  # s; a quarter of one core takes 400 ms for it


class Took(NamedTuple):
    """What a press took by the clock, and of the processor, in seconds."""

    clock: float
    processor: float


class Painted(QObject):
    """Whether a widget was painted since it was asked last."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__(widget)
        self.is_painted = False
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        self.is_painted = self.is_painted or event.type() == QEvent.Type.Paint
        return super().eventFilter(watched, event)


class Floor:
    """A raw commit, a row and a label."""

    def __init__(self, app: QApplication, record: Path) -> None:
        self._app = app
        self._plain = sqlite3.connect(record, isolation_level=None)
        for name in self._plain.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            self._plain.execute(f'DROP TRIGGER "{name[0]}"')
        for setting in ("journal_mode = TRUNCATE", "synchronous = EXTRA"):
            self._plain.execute(f"PRAGMA {setting}")
        newest = self._plain.execute("SELECT * FROM entry ORDER BY arrival DESC LIMIT 1")
        self._names = [column[0] for column in newest.description]
        self._row = dict(zip(self._names, newest.fetchone(), strict=True))
        self._window, self._list, self._label = QMainWindow(), QListWidget(), QLabel("nothing yet")
        self._list.addItems([f"07:00 suction {number}" for number in range(250)])
        body = QWidget()
        grid = QGridLayout(body)
        self._buttons = [QPushButton(f"Tile {number}\nlast 2 h ago") for number in range(BUTTONS)]
        for number, button in enumerate(self._buttons):
            grid.addWidget(button, number // 5, number % 5)
            button.clicked.connect(self._pressed)
        grid.addWidget(self._label, 9, 0, 1, 5)
        grid.addWidget(self._list, 0, 5, 10, 1)
        self._window.setCentralWidget(body)
        self._window.resize(1100, 700)
        self._window.show()
        self._painted = Painted(self._label), Painted(self._list.viewport())
        app.processEvents()

    def _pressed(self) -> None:
        unique = str(uuid.uuid4())
        self._row |= {"arrival": self._row["arrival"] + 1, "id": unique, "link": unique}
        marks = ", ".join("?" * len(self._names))
        self._plain.execute("BEGIN IMMEDIATE")
        self._plain.execute(f"INSERT INTO entry VALUES ({marks})", list(self._row.values()))
        self._plain.execute("COMMIT")
        self._list.insertItem(0, unique)
        self._label.setText(unique)

    def press(self, number: int) -> float:
        """Seconds from a press until everything is painted."""
        for each in self._painted:
            each.is_painted = False
        start = time.perf_counter()
        QTest.mouseClick(self._buttons[number % BUTTONS], Qt.MouseButton.LeftButton)
        while not all(each.is_painted for each in self._painted):
            self._app.processEvents()
        self._app.processEvents()
        return time.perf_counter() - start


class Program:
    """A tile of the program's board."""

    def __init__(self, app: QApplication, record: Path) -> None:
        self._shown: Shown = shown(app, record)
        board = self._shown.window.board
        both = zip(board.placed, board.tiles, strict=True)
        self._tiles = [tile for placed, tile in both if placed.is_at_once]
        self._painted = Painted(board.receipt)

    def press(self, number: int) -> float:
        """Seconds from a press until its entry is durable and the receipt and the new picture painted."""
        desk, before = self._shown.window.desk, len(self._shown.window.desk.slips.all)
        self._painted.is_painted = False
        start = time.perf_counter()
        QTest.mouseClick(self._tiles[number % len(self._tiles)], Qt.MouseButton.LeftButton)
        if len(desk.slips.all) != before + 1:
            raise RuntimeError("the press was taken as an earlier one")
        slip = desk.slips.all[-1]

        def is_there() -> bool:
            picture = desk.present.picture
            held = picture.latest.get(slip.first.kind) if picture is not None else None
            is_known = held is not None and held.first.id == slip.first.id
            return slip.state is State.SAVED and is_known and self._painted.is_painted

        self._shown.wait(is_there, 30)
        self._shown.app.processEvents()
        return time.perf_counter() - start

    def come_to_rest(self) -> None:
        """Wait until what a start leaves to do is done."""
        self._shown.come_to_rest()

    def copy(self) -> None:
        """Have a copy made beside what is done next, unless one is being made."""
        copies = self._shown.rest.copies
        if not copies.is_asked:
            copies.make()

    @property
    def window(self) -> Window:
        """The program's own window."""
        return self._shown.window

    def close(self) -> None:
        """Close the window."""
        self._shown.close()


def settle(app: QApplication) -> None:
    """Give what a press leaves to do its time; threads run meanwhile, as QTest.qWait would not let them."""
    until = time.monotonic() + SETTLE
    while time.monotonic() < until:
        app.processEvents()
        time.sleep(0.005)


def main() -> int:
    """Measure and print; 0 when all figures hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--presses", type=int, default=200)
    asked = parser.parse_args()
    app = QApplication(sys.argv[:1])
    with tempfile.TemporaryDirectory() as folder:
        records = [process.household(Path(folder) / f"{n}.carelog", n) for n in (A_MONTH, TEN_YEARS)]
        plain = Path(folder) / "plain.carelog"
        shutil.copy(records[1], plain)
        month, years = (Program(app, record) for record in records)
        for program in (month, years):
            program.come_to_rest()
        floor = Floor(app, plain)
        presses: list[Callable[[int], float]] = [floor.press, years.press, month.press]
        took: list[list[Took]] = [[], [], []]
        for number in range(asked.presses + 5):
            for each, times in zip(presses, took, strict=True):
                settle(app)  # what one press leaves to do isn't counted to the next
                before = time.process_time()
                seconds = each(number)
                if number >= 5:
                    times.append(Took(seconds, time.process_time() - before))
        for program in (month, years):
            program.close()
    return measurement.figures("Press to durable and painted", figures(*took))


def figures(floor: list[Took], years: list[Took], month: list[Took]) -> list[Figure]:
    """The figures."""

    def ratio(mine: list[Took], least: list[Took]) -> float:
        return statistics.median(a.clock / b.clock for a, b in zip(mine, least, strict=True))

    def shown_as(mine: float, least: float) -> str:
        return f"{mine * 1e3:.1f} to {least * 1e3:.1f} ms"

    clocks, floors = ([each.clock for each in times] for times in (years, floor))
    used, floor_used = ([each.processor for each in times] for times in (years, floor))
    slow, slow_floor, most = percentile(clocks, 0.99), percentile(floors, 0.99), percentile(used, 0.99)
    middle = statistics.median
    processor = f"{most * 1e3:.1f} ms; in the middle {shown_as(middle(used), middle(floor_used))}"
    return [
        Figure("6", "press, 10 years", ratio(years, floor), 1.5, shown_as(middle(clocks), middle(floors))),
        Figure("6", "press, 10 years, p99", slow / slow_floor, 1.5, shown_as(slow, slow_floor)),
        Figure("6", "press, 10 years to 1 month", ratio(years, month), 1.2),
        Figure("6", "press, 10 years, of the processor, p99 in 100 ms", most / PROCESSOR, 1.0, processor),
    ]


if __name__ == "__main__":
    sys.exit(main())
