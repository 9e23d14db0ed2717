"""An idle window: processor time an hour, to a timer of 30 s that seeks each kind and sets a label.

usage: python -m tests.bench.idle [--pairs 5] [--seconds 95]
Counted from when the flags are read, the file is checked and the day's copy is made and tried.
All windows run side by side, each in its own process, whose processor time is its alone.
"""

import argparse
import statistics
import sys
import tempfile
from pathlib import Path

from tests.bench import measurement, process
from tests.bench.measurement import TEN_YEARS, Figure

LIMIT = 3


def main() -> int:
    """Measure and print; 0 when the figure holds."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--pairs", type=int, default=5)
    parser.add_argument("--seconds", type=float, default=95.0)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        record = process.household(Path(folder) / "record.carelog", TEN_YEARS)
        process.window("shown", "start", str(record))  # leaves the state of the flags
        copies = []
        for number in range(asked.pairs):  # a window a record
            own = Path(folder) / str(number) / record.name
            own.parent.mkdir()
            for file in record.parent.glob(f"{record.name}*"):
                (own.parent / file.name).write_bytes(file.read_bytes())
            copies.append(str(own))
        seconds = ("--seconds", str(asked.seconds))
        floors = [process.begin("floor", "idle", own, *seconds) for own in copies]
        mine = [process.begin("shown", "idle", own, *seconds) for own in copies]
        least = [process.measured(child)["an_hour"] for child in floors]
        used = [process.measured(child)["an_hour"] for child in mine]
    ratio = statistics.median(a / b for a, b in zip(used, least, strict=True))
    shown = f"{statistics.median(used):.2f} to {statistics.median(least):.2f} s an hour"
    return measurement.figures("Idle", [Figure("14", "idle, 10 years", ratio, LIMIT, shown)])


if __name__ == "__main__":
    sys.exit(main())
