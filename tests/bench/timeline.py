"""The timeline's page over 100,000 entries, to the same page over 250: made, its first rows painted.

usage: python -m tests.bench.timeline [--pairs 9]    (offscreen, or under a display)
"""

import argparse
import os
import sys
import tempfile
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtWidgets import QApplication

from carelog.ui.timeline.page import Timeline
from tests.bench import measurement, process
from tests.bench.house import Shown, shown
from tests.bench.measurement import Figure

FEW, MANY = 250, 100_000
LIMIT = 1.2


def opened(house: Shown) -> None:
    """Make the page anew and wait for its first rows."""
    window = house.window
    window.go("board")
    window.drop_page("timeline")
    house.app.processEvents()
    window.go("timeline")
    page = window.stack.currentWidget()
    assert isinstance(page, Timeline)
    house.wait(lambda: page.model.rowCount() > 0)
    page.table.viewport().repaint()


def main() -> int:
    """Measure and print; 0 when the figure holds."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--pairs", type=int, default=9)
    asked = parser.parse_args()
    app = QApplication(sys.argv[:1])
    with tempfile.TemporaryDirectory() as folder:
        few, many = (shown(app, process.household(Path(folder) / f"{n}.carelog", n)) for n in (FEW, MANY))
        opened(many)
        opened(few)
        ratio, mine, floors = measurement.pairs(lambda: opened(many), lambda: opened(few), asked.pairs)
        few.close()
        many.close()
    shown_as = f"{sorted(mine)[len(mine) // 2] * 1e3:.0f} to {sorted(floors)[len(floors) // 2] * 1e3:.0f} ms"
    return measurement.figures(
        "Timeline", [Figure("13", "timeline of 100,000 to 250", ratio, LIMIT, shown_as)]
    )


if __name__ == "__main__":
    sys.exit(main())
