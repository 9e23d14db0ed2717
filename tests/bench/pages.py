"""Every page of the window opened on a very long record: what it takes of the window's own thread.

usage: python -m tests.bench.pages [--entries 1000000] [--a-day 72] [--record FILE] [--only course,kit]
No floor: each page must be made and painted in 300 ms of that thread's processor time, and none of its events
after that may hold the thread longer. What is read for it meanwhile takes another thread, and is told too.
"""

import argparse
import os
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtWidgets import QApplication

from carelog.ui.pages import PAGES
from tests.bench import process
from tests.bench.flags import A_DAY
from tests.bench.house import Shown, shown
from tests.bench.measurement import A_MILLION, Figure, figures, table

LIMIT = 0.3  # s
STILL = 1.0  # s in which the whole process takes next to nothing
PATIENCE = 300.0  # s


@dataclass(frozen=True, slots=True)
class Opened:
    """What opening a page took: the window's thread at first and at most after, all threads, the clock."""

    page: str
    first: float
    longest: float
    processor: float
    clock: float


def opened(house: Shown, page: str) -> Opened:
    """Open a page, and wait until nothing more is done for it."""
    whole, clock = time.process_time(), time.monotonic()
    first = _taken(lambda: house.window.go(page)) + _taken(house.window.repaint)
    longest, still, last = 0.0, time.monotonic(), time.process_time()
    while (now := time.monotonic()) - still < STILL and now - clock < PATIENCE:
        longest = max(longest, _taken(house.app.processEvents))
        time.sleep(0.002)
        if (used := time.process_time()) - last > 0.05:
            still, last = now, used
    return Opened(page, first, longest, time.process_time() - whole, time.monotonic() - clock - STILL)


def _taken(job: Callable[[], object]) -> float:
    start = time.thread_time()
    job()
    return time.thread_time() - start


def main() -> int:
    """Measure and print; 0 when no page holds the window up."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--entries", type=int, default=A_MILLION)
    parser.add_argument("--a-day", type=int, default=A_DAY)
    parser.add_argument("--record", type=Path, help="one that is there already, in place of a made-up one")
    parser.add_argument("--only", default=",".join(page.name for page in PAGES))
    asked = parser.parse_args()
    app = QApplication(sys.argv[:1])
    with tempfile.TemporaryDirectory() as folder:
        record = asked.record or process.household(Path(folder) / "long.carelog", asked.entries, asked.a_day)
        house = shown(app, record)
        opened(house, "board")
        found = [opened(house, page) for page in asked.only.split(",")]
        house.close()
    rows = [
        (
            each.page,
            f"{each.first * 1e3:.0f} ms",
            f"{each.longest * 1e3:.0f} ms",
            f"{each.processor:.1f} s",
            f"{each.clock:.1f} s",
        )
        for each in found
    ]
    heads = ("page", "made and painted", "longest after", "all threads", "by the clock")
    table("Each page", heads, rows)
    return figures(f"Pages of a record of {asked.entries} entries", slowest(found))


def slowest(found: Sequence[Opened]) -> list[Figure]:
    """The page that holds the window's thread longest until it is painted, and the one that does after."""
    first = max(found, key=lambda each: each.first)
    after = max(found, key=lambda each: each.longest)
    return [
        Figure(
            "pages",
            f"a page made and painted, the slowest, in {LIMIT:g} s",
            first.first / LIMIT,
            1.0,
            f"{first.first * 1e3:.0f} ms ({first.page})",
        ),
        Figure(
            "pages",
            f"the longest event after that, in {LIMIT:g} s",
            after.longest / LIMIT,
            1.0,
            f"{after.longest * 1e3:.0f} ms ({after.page})",
        ),
    ]


if __name__ == "__main__":
    sys.exit(main())
