"""One journey through the whole program: every command, the window with each page, paper drawn by PDFium.

usage: python -m tests.faults.journey FOLDER [--short]
The window is the real one and is pressed by itself. The last line says what was done.
"""

import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from PySide6.QtCore import QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QWidget

from carelog.main import main
from carelog.ui.access import Stage
from carelog.ui.slip import State
from carelog.ui.window import Window
from tests.exchange.making import FOUR_WEEKS

STEP_MS = 30
MOST_STEPS = 10000  # 5 minutes; a step that waits longer is a journey that failed
PAGES = (
    "timeline",
    "flags",
    "due",
    "plan",
    "emergency",
    "help",
    "settings",
    "copies",
    "code",
    "sides",
    "board",
)
DONE = "journey done"


def commands(record: Path, folder: Path, is_short: bool) -> None:
    """Every command, each as a process of its own, as a household's script would call it."""
    carelog("import", str(FOUR_WEEKS), "--record", str(record))
    if is_short:
        return
    words = [
        ["add", "suction", "amount=small", "--by", "LR", "--note", "a note"],
        *(["due"], ["flags"], ["kit"], ["check"]),
        *([each, "--json"] for each in ("due", "flags", "kit")),
        ["sheet", "--week", "2026-W47", "--out", str(folder / "week.pdf")],
        ["sheet", "--sheet", "day", "--date", "2026-11-18", "--out", str(folder / "day.pdf")],
        ["sheet", "--week", "2026-W47", "--html", "--out", str(folder / "week.html")],
        ["export", str(folder / "out.jsonl")],
        ["backup", "--to", str(folder / "copies")],
    ]
    for each in words:
        carelog(*each, "--record", str(record))
    copy = next((folder / "copies").iterdir())
    carelog("restore", str(copy), "--record", str(folder / "back.carelog"))
    carelog("code", "--new")
    carelog("backup", "--to", str(folder / "sealed"), "--record", str(record))
    sealed = next((folder / "sealed").iterdir())
    carelog("restore", str(sealed), "--record", str(folder / "back-2.carelog"))


def carelog(*words: str) -> None:
    """One command in a process of its own; a failure ends the journey."""
    done = subprocess.run([sys.executable, "-m", "carelog", *words], capture_output=True, text=True)
    if done.returncode:
        sys.exit(f"{words[0]}: {done.stderr}")


class Walk:
    """Goes through the window a step at a time; each step says what it waits for."""

    def __init__(self) -> None:
        self._steps = self._way()
        self._waits: Callable[[], bool] = lambda: self._window() is not None
        self._left = MOST_STEPS
        self.pictures = 0
        self.saved = 0

    def step(self) -> None:
        """Go on, if what was waited for has come."""
        self._left -= 1
        if self._left < 0:
            sys.stderr.write("the window waits for something that doesn't come\n")
            QApplication.exit(1)
        elif self._waits():
            self._waits = next(self._steps, lambda: False)

    def _window(self) -> Any:
        return next((each for each in QApplication.topLevelWidgets() if isinstance(each, Window)), None)

    def _way(self) -> Iterator[Callable[[], bool]]:
        window = self._window()
        yield lambda: window.desk.access.stage is Stage.OPEN and window.desk.present.flags is not None
        for name in ("tile_suction", "tile_mouth_care"):
            press(window, name)
            yield lambda: all(slip.state is State.SAVED for slip in window.desk.slips.all)
        press(window, "tile_note")
        yield lambda: shown(window, "field_note") is not None
        field = shown(window, "field_note")
        assert field is not None
        QTest.keyClicks(field, "slept well")
        press(window, "save")
        yield (lambda: len(window.desk.slips.all) == 3 and window.desk.slips.all[-1].state is State.SAVED)
        self.saved = len(window.desk.slips.all)
        for page in PAGES:
            window.go(page)
            yield lambda: True
        window.go("sheet")
        yield lambda: bool(pictures(window))
        self.pictures = len(pictures(window))
        window.close()


def press(window: QWidget, name: str) -> None:
    """Press the button that is shown under this name."""
    found = [each for each in window.findChildren(QPushButton, name) if each.isVisible()]
    (found or window.findChildren(QPushButton, name))[0].click()


def shown(window: QWidget, name: str) -> QWidget | None:
    """The widget that is shown under this name."""
    return next((each for each in window.findChildren(QWidget, name) if each.isVisible()), None)


def pictures(window: Window) -> list[QLabel]:
    """The pages of paper that are on screen."""
    page = window.stack.currentWidget()
    return [label for label in page.findChildren(QLabel) if not label.pixmap().isNull()] if page else []


def journey(folder: Path, is_short: bool = False) -> str:
    """Walk all of it, short: no commands but the first; what was done, in words."""
    record = folder / "record.carelog"
    commands(record, folder, is_short)
    _app = QApplication.instance() or QApplication(sys.argv[:1])
    walk, timer = Walk(), QTimer()
    timer.timeout.connect(walk.step)
    timer.start(STEP_MS)
    status = main(["--record", str(record)])
    if status or not walk.pictures or walk.saved != 3:
        sys.exit(f"the window ended with {status}, {walk.saved} saved, {walk.pictures} pages of paper seen")
    return f"{DONE} on {QApplication.platformName()}: {walk.saved} saved, {walk.pictures} pages of paper seen"


if __name__ == "__main__":
    print(journey(Path(sys.argv[1]), "--short" in sys.argv[2:]), flush=True)
