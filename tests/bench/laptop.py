"""An old laptop, as far as control groups can show one: a quarter of one core and 1 GB of memory.

usage: python -m tests.bench.laptop [--starts 5] [--presses 100] [--share 0.25]
The disk is this computer's own: nothing here slows what is synced. What is asked for is in ms by the clock,
and other work on this computer makes it worse. 2 where no limit can be set; then nothing is measured.
"""

import argparse
import json
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from tests.bench import measurement, process
from tests.bench.limits import Unlimited, limited
from tests.bench.measurement import TEN_YEARS, Figure, percentile

SHARE, MEGABYTES = 0.25, 1000
FIRST_PAINT, PRESS, PAGE, PDF = 2500, 400, 400, 10_000  # ms
WARM_UP = 3  # presses


def main() -> int:
    """Measure and print; 0 when all figures hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--starts", type=int, default=5)
    parser.add_argument("--presses", type=int, default=100)
    parser.add_argument("--share", type=float, default=SHARE, help="of one core")
    parser.add_argument("--inside", help="measure presses and pages in this process, on this record")
    asked = parser.parse_args()
    if asked.inside:
        inside(Path(asked.inside), asked.presses)
        return 0
    try:
        with tempfile.TemporaryDirectory() as folder, limited(asked.share, MEGABYTES) as within:
            found = figures(Path(folder), within, asked.starts, asked.presses)
    except Unlimited as error:
        print(f"not measured: {error}")
        return 2
    return measurement.figures(f"An old laptop ({asked.share:g} of one core, {MEGABYTES} MB)", found)


def figures(folder: Path, within: Sequence[str], starts: int, presses: int) -> list[Figure]:
    """The figures on ten years, each process within the limits."""
    record = process.household(folder / "record.carelog", TEN_YEARS)
    start = ("shown", "start", str(record), "--seconds", "0")
    process.window(*start)  # compiles what isn't compiled yet
    first = [process.window(*start, within=within)["first"] for _ in range(starts)]
    here = process.window("laptop", "--inside", str(record), "--presses", str(presses), within=within)
    pdf = folder / "week.pdf"
    words = ["sheet", "--record", str(record), "--out", str(pdf)]
    process.command(words, folder / "home")
    _used, sheet = process.command(words, folder / "home", within)
    return [
        _figure("first paint of the board", statistics.median(first), FIRST_PAINT),
        _figure("press to durable and painted, p99", percentile(here["presses"], 0.99), PRESS),
        _figure("the same, in the middle", statistics.median(here["presses"]), PRESS),
        _figure(
            "a page opened again, the slowest", max(here["again"].values()), PAGE, _slowest(here["again"])
        ),
        _figure(
            "a page opened first, the slowest", max(here["opened"].values()), PAGE, _slowest(here["opened"])
        ),
        _figure("the week's PDF, the whole command", sheet * 1000, PDF),
    ]


def _figure(what: str, took: float, limit: float, shown: str = "") -> Figure:
    return Figure("laptop", f"{what}, in {limit:g} ms", took / limit, 1.0, f"{took:.0f} ms {shown}".strip())


def _slowest(pages: dict[str, float]) -> str:
    name = max(pages, key=lambda each: pages[each])
    return f"({name}; half of them in {statistics.median(pages.values()):.0f} ms)"


def inside(record: Path, presses: int) -> None:
    """In a process of its own: print what presses and pages take, in ms."""
    from PySide6.QtWidgets import QApplication

    from carelog.ui.pages import PAGES
    from tests.bench.press import Painted, Program, settle

    app = QApplication(sys.argv[:1])
    program = Program(app, record)
    took = []
    for number in range(presses + WARM_UP):
        settle(app)
        took.append(program.press(number) * 1000)
    window = program.window
    names = [page.name for page in PAGES if page.name != "board"]

    def opened(name: str) -> float:
        window.go("board")
        settle(app)
        start = time.perf_counter()
        page = window.show_page(name)
        if page is None:
            raise LookupError(name)
        painted = Painted(page)
        while not painted.is_painted:
            app.processEvents()
        return (time.perf_counter() - start) * 1000

    first = {name: opened(name) for name in names}
    again = {name: opened(name) for name in names}
    print(json.dumps({"presses": took[WARM_UP:], "opened": first, "again": again}), flush=True)
    program.close()


if __name__ == "__main__":
    sys.exit(main())
