"""An old laptop, as far as control groups can show one: a quarter of one core and 1 GB of memory.

usage: python -m tests.bench.laptop [--starts 5] [--presses 100] [--share 0.25] [--look 1] [--only NAME,NAME]
The disk is this computer's own: nothing here slows what is synced. What is asked for is in ms by the clock,
and other work on this computer makes it worse. 2 where no limit can be set; then nothing is measured.
Presses are counted once the day's copy is made and tried, and again while one is being made and read back
all the time. Pages are opened one after another, each as soon as the one before is painted: what is still
read or made for one goes on beside the next. In the first seconds nothing is loaded ahead yet; later all of
it is. `--look`: further figures, each page being looked at for so many seconds before the next is asked
for, as a hand and an eye would (0: without these). `--only`: these pages, and nothing else.
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
SHARE_BESIDE = 4  # of so many presses one is done beside a copy
SHOWN = 6  # pages that are named
AGAIN_AND_FIRST = (("again", "again"), ("first", "opened"))


def main() -> int:
    """Measure and print; 0 when all figures hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--starts", type=int, default=5)
    parser.add_argument("--presses", type=int, default=100)
    parser.add_argument("--share", type=float, default=SHARE, help="of one core")
    parser.add_argument("--look", type=float, default=1, help="s that a page is looked at in further figures")
    parser.add_argument("--only", default="", help="pages, by their names with commas")
    parser.add_argument("--inside", help="measure presses and pages in this process, on this record")
    parser.add_argument(
        "--at-once", action="store_true", help="with --inside: before anything is loaded ahead"
    )
    asked = parser.parse_args()
    if asked.inside:
        only = asked.only.split(",") if asked.only else []
        inside(Path(asked.inside), asked.presses, asked.look, only, is_at_once=asked.at_once)
        return 0
    try:
        with tempfile.TemporaryDirectory() as folder, limited(asked.share, MEGABYTES) as within:
            found = figures(Path(folder), within, asked)
    except Unlimited as error:
        print(f"not measured: {error}")
        return 2
    return measurement.figures(f"An old laptop ({asked.share:g} of one core, {MEGABYTES} MB)", found)


def figures(folder: Path, within: Sequence[str], asked: argparse.Namespace) -> list[Figure]:
    """The figures on ten years, each process within the limits."""
    record = process.household(folder / "record.carelog", TEN_YEARS)
    process.window("shown", "start", str(record), "--seconds", "0")  # compiles what isn't compiled yet
    if asked.only:
        return _pages(record, within, asked, 0)[1]
    first = [
        process.window("shown", "start", str(record), "--seconds", "0", within=within)["first"]
        for _ in range(asked.starts)
    ]
    here, pages = _pages(record, within, asked, asked.presses)
    presses, beside = here["presses"], here["beside"]
    pdf = folder / "week.pdf"
    words = ["sheet", "--record", str(record), "--out", str(pdf)]
    process.command(words, folder / "home")
    _used, sheet = process.command(words, folder / "home", within)
    return [
        _figure("first paint of the board", statistics.median(first), FIRST_PAINT),
        _figure("press to durable and painted, p99", percentile(presses, 0.99), PRESS),
        _figure("the same, in the middle", statistics.median(presses), PRESS),
        _figure("press while a copy is made, the slowest", max(beside), PRESS, _number(beside)),
        _figure("the same, in the middle", statistics.median(beside), PRESS),
        *pages,
        _figure("the week's PDF, the whole command", sheet * 1000, PDF),
    ]


def _pages(
    record: Path, within: Sequence[str], asked: argparse.Namespace, presses: int
) -> tuple[dict[str, list[float]], list[Figure]]:
    """What was found in the first process, presses among it, and the figures of the pages."""
    given = ("laptop", "--inside", str(record), "--only", asked.only)
    strict = (*given, "--look", "0", "--presses")
    here = process.window(*strict, str(presses), within=within)
    soon = process.window(*strict, "0", "--at-once", within=within)
    found = [
        _page_figure("again", here["again"]),
        _page_figure("first", here["opened"]),
        _page_figure("first, in the first seconds", soon["opened"]),
    ]
    if asked.look:
        looked = process.window(*given, "--presses", "0", "--look", str(asked.look), within=within)
        calm = f"each looked at for {asked.look:g} s"
        found += [_page_figure(f"{when}, {calm}", looked[name]) for when, name in AGAIN_AND_FIRST]
    return here, found


def _number(presses: list[float]) -> str:
    return f"({len(presses)} presses)"


def _page_figure(when: str, took: dict[str, float]) -> Figure:
    return _figure(f"a page opened {when}, the slowest", max(took.values()), PAGE, _slowest(took))


def _figure(what: str, took: float, limit: float, shown: str = "") -> Figure:
    return Figure("laptop", f"{what}, in {limit:g} ms", took / limit, 1.0, f"{took:.0f} ms {shown}".strip())


def _slowest(pages: dict[str, float]) -> str:
    late = sorted((each for each in pages if pages[each] > PAGE), key=lambda each: -pages[each])
    told = ", ".join(f"{each} {pages[each]:.0f}" for each in late[:SHOWN])
    return (
        f"(half of them in {statistics.median(pages.values()):.0f} ms; {len(late)} too late: {told or '–'})"
    )


def inside(record: Path, presses: int, look: float, only: Sequence[str], *, is_at_once: bool) -> None:
    """In a process of its own: print what presses and pages take, in ms."""
    from PySide6.QtWidgets import QApplication

    from carelog.ui.ahead import Ahead
    from carelog.ui.pages import PAGES
    from tests.bench.press import Painted, Program, settle

    app = QApplication(sys.argv[:1])
    program = Program(app, record)
    if presses:
        program.come_to_rest()
    took = []
    for number in range(presses + WARM_UP if presses else 0):
        settle(app)
        took.append(program.press(number) * 1000)
    beside = []
    for number in range(presses // SHARE_BESIDE):
        program.copy()
        settle(app)
        beside.append(program.press(number) * 1000)
    window = program.window
    ahead = next(each for each in window.children() if isinstance(each, Ahead))
    while ahead.left and not is_at_once:
        settle(app)
    names = [page.name for page in PAGES if page.name != "board" and page.name in (only or {page.name})]

    def opened(name: str) -> float:
        until = time.monotonic() + look
        while time.monotonic() < until:
            settle(app)
        window.go("board")
        settle(app)
        ahead.touch()  # as the press of a hand does, which isn't seen here
        start = time.perf_counter()
        page = window.show_page(name)
        if page is None:
            raise LookupError(name)
        painted = Painted(page)
        while not painted.is_painted:
            app.processEvents()
        return (time.perf_counter() - start) * 1000

    first = {name: opened(name) for name in names}
    again = {name: opened(name) for name in names if not is_at_once}
    found = {"presses": took[WARM_UP:], "beside": beside, "opened": first, "again": again}
    print(json.dumps(found), flush=True)
    program.close()


if __name__ == "__main__":
    sys.exit(main())
