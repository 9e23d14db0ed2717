"""The nurse's visit in a record of ten years: until its numbers are read and painted, until its flags are.

usage: python -m tests.bench.visit [--days 3650]    (offscreen, or under a display)

Held against a limit of this computer's processor: from the numbers at hand to a painted page 300 ms. Told
beside it: when the numbers and the flags came, and the longest time in which the window answered nothing.
"""

import argparse
import io
import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from uuid import uuid4

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtWidgets import QApplication

from carelog.app.clock import SystemClock
from carelog.commands.surroundings import Surroundings
from carelog.commands.window import parts
from carelog.domain.moment import Instant
from carelog.paths import Places
from carelog.ui.application import build, furnish
from carelog.ui.visit.page import VisitPage
from carelog.ui.window import Window
from tests.bench import measurement, process
from tests.bench.measurement import Figure

PAINT_MS = 300
PATIENCE = 300  # s


class Loop:
    """Lets the window work until something is so, and keeps the longest time between two looks."""

    def __init__(self, application: QApplication) -> None:
        self._application = application
        self.longest = 0.0

    def until(self, is_so: Callable[[], bool]) -> float:
        """Seconds until then."""
        start = last = time.perf_counter()
        while not is_so():
            self._application.processEvents()
            now = time.perf_counter()
            self.longest, last = max(self.longest, now - last), now
            if now - start > PATIENCE:
                raise TimeoutError
            time.sleep(0.001)
        return time.perf_counter() - start


def window_on(path: Path, application: QApplication) -> Window:
    """The program's own window on a record, with folders of its own beside it."""
    places = Places(path.parent / "data", path.parent / "config", path.parent / "state")
    places.make()
    nothing = io.StringIO()
    around = Surroundings(places, SystemClock(), _new_id, nothing, nothing, io.BytesIO, {})
    window = build(parts(path, around), application)
    window.resize(1366, 768)
    window.show()
    furnish(window)
    return window


def _new_id(_now: Instant) -> str:
    return str(uuid4())


def opened(path: Path, application: QApplication) -> list[Figure]:
    """The page, opened once the window has read its flags, as a nurse finds it."""
    window, loop = window_on(path, application), Loop(application)
    loop.until(lambda: window.desk.present.flags is not None)
    count = window.desk.present.picture.count if window.desk.present.picture else 0
    loop.longest = 0.0
    fills: list[float] = []
    start = time.perf_counter()
    window.do("visit")
    page = window.stack.currentWidget()
    assert isinstance(page, VisitPage)
    fill = page.overview.fill_anew

    def filled() -> None:
        used = time.process_time()
        fill()
        page.grab()
        fills.append(time.process_time() - used)

    page.overview.fill_anew = filled  # type: ignore[method-assign]
    loop.until(lambda: page.state.visit is not None and bool(fills))
    numbers = time.perf_counter() - start
    loop.until(lambda: page.state.visit is not None and page.state.visit.has_all_flags)
    flags = time.perf_counter() - start
    window.close()
    shown = f"{count:,} entries; numbers after {numbers:.1f} s, flags after {flags:.1f} s by the clock"
    paint = max(fills) * 1e3
    return [
        Figure(
            "visit", "from the numbers to a painted page, in 300 ms", paint / PAINT_MS, 1.0, f"{paint:.0f} ms"
        ),
        Figure("visit", "the longest without an answer meanwhile, in 1 s", loop.longest, 1.0, shown),
    ]


def main() -> int:
    """Measure and print; 0 when both figures hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--days", type=int, default=3650)
    asked = parser.parse_args()
    application = QApplication(sys.argv[:1])
    with tempfile.TemporaryDirectory() as folder:
        path = process.household(Path(folder) / "ten.carelog", asked.days * process.A_DAY)
        found = opened(path, application)
    return measurement.figures("The nurse's visit", found)


if __name__ == "__main__":
    sys.exit(main())
