"""The least a window can be, in a process of its own: what the program's window is held against.

usage: python -m tests.bench.floor bare|late|idle RECORD [--seconds 5]
`bare`: a window. `late`: forty buttons shown first, then 250 rows by the object mapper, listed.
`idle`: forty buttons, a timer of 30 s, a seek a kind, one label. Prints one line of JSON.
"""

import argparse
import json
import os
import resource
import sqlite3
import sys
import time
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QTimer
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import (
    QApplication,
    QGridLayout,
    QLabel,
    QListWidget,
    QMainWindow,
    QPushButton,
    QSplitter,
    QWidget,
)

ROWS = 250
BUTTONS = 40
SIZE = (1000, 700)
TICK = 30_000  # ms


def since_start() -> float:
    """Milliseconds since the process was asked for."""
    return (time.monotonic_ns() - int(os.environ["BENCH_START"])) / 1e6


def resident() -> float:
    """Resident memory in MB."""
    with open("/proc/self/statm") as file:
        return int(file.read().split()[1]) * resource.getpagesize() / 1e6


def peak() -> float:
    """Megabytes of memory at the most, of this program alone: what its parent took before isn't counted."""
    with open("/proc/self/status") as file:
        most = next(line for line in file if line.startswith("VmHWM:"))
    return int(most.split()[1]) / 1024


def processor() -> float:
    """Seconds of processor time so far."""
    used = resource.getrusage(resource.RUSAGE_SELF)
    return used.ru_utime + used.ru_stime


def wakes() -> int:
    """How often a thread of this process has waited for something and gone on, ended ones too."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_nvcsw


def leave(found: dict[str, Any]) -> None:
    """Print what was measured and end the process at once."""
    print(json.dumps(found), flush=True)
    os._exit(0)


class Bare(QMainWindow):
    """A window that tells when it was painted first."""

    def __init__(self, then: Callable[[], None]) -> None:
        super().__init__()
        self._then: Callable[[], None] | None = then
        self.resize(*SIZE)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self._then is not None:
            QTimer.singleShot(0, self._then)
            self._then = None


class Listing(QListWidget):
    """Rows that tell when they were painted."""

    def __init__(self) -> None:
        super().__init__()
        self.then: Callable[[], None] | None = None

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.then is not None:
            QTimer.singleShot(0, self.then)
            self.then = None


def board() -> QWidget:
    """Forty buttons."""
    found = QWidget()
    grid = QGridLayout(found)
    for number in range(BUTTONS):
        button = QPushButton(f"Tile {number}\nlast 2 h ago")
        button.setMinimumHeight(56)
        grid.addWidget(button, number // 6, number % 6)
    return found


def rows_of(record: str) -> list[str]:
    """The newest rows, through the object mapper."""
    import sqlalchemy as sa
    from sqlalchemy.orm import Session

    from tests.bench.mapped import MappedEntry

    newest = sa.select(MappedEntry).order_by(MappedEntry.at.desc()).limit(ROWS)
    with Session(sa.create_engine(f"sqlite:///{record}")) as session:
        return [f"{row.kind} {row.at}" for row in session.scalars(newest)]


def bare() -> None:
    """Until a bare window is painted."""
    window = Bare(lambda: leave({"first": since_start(), "used": processor()}))
    window.show()
    QApplication.exec()


def late(record: str, rest: float) -> None:
    """Until the board is painted, the rows are, and a while later."""
    found: dict[str, float] = {}
    listing = Listing()

    def work() -> None:
        found["first"], found["used"] = since_start(), processor()
        listing.addItems(rows_of(record))
        listing.then = filled
        listing.viewport().update()

    def filled() -> None:
        found["second"] = since_start()
        QTimer.singleShot(round(rest * 1000), lambda: leave({**found, "resident": resident()}))

    window = Bare(work)
    both = QSplitter()
    both.addWidget(board())
    both.addWidget(listing)
    window.setCentralWidget(both)
    window.show()
    QApplication.exec()


def idle(record: str, seconds: float) -> None:
    """Processor time an hour of a window that looks at each kind every 30 s."""
    plain = sqlite3.connect(record)
    kinds = [row[0] for row in plain.execute("SELECT DISTINCT kind FROM entry")]
    label = QLabel("0")
    window = QMainWindow()
    body = board()
    layout = body.layout()
    assert layout is not None
    layout.addWidget(label)
    window.setCentralWidget(body)
    window.show()

    def tick() -> None:
        for kind in kinds:
            plain.execute("SELECT * FROM entry WHERE kind = ? ORDER BY at DESC LIMIT 1", (kind,)).fetchone()
        label.setText(str(time.monotonic()))

    timer = QTimer()
    timer.timeout.connect(tick)
    timer.start(TICK)
    settle_then_watch(seconds)
    QApplication.exec()


def settle_then_watch(seconds: float, settle: float = 5) -> None:
    """After a while of settling, measure the processor time and the wake-ups of an hour, and leave."""

    def begin() -> None:
        before, woken, start = processor(), wakes(), time.monotonic()

        def end() -> None:
            hours = (time.monotonic() - start) / 3600
            leave({"an_hour": (processor() - before) / hours, "wakes": (wakes() - woken) / hours})

        QTimer.singleShot(round(seconds * 1000), end)

    QTimer.singleShot(round(settle * 1000), begin)


def main() -> None:
    """Show one of the windows."""
    parser = argparse.ArgumentParser()
    parser.add_argument("window", choices=("bare", "late", "idle"))
    parser.add_argument("record")
    parser.add_argument("--seconds", type=float, default=0.0)
    asked = parser.parse_args()
    QApplication(sys.argv[:1])
    if asked.window == "bare":
        bare()
    elif asked.window == "late":
        late(asked.record, asked.seconds)
    else:
        idle(asked.record, asked.seconds)


if __name__ == "__main__":
    main()
