"""An idle window: processor time an hour, to a timer of 30 s that seeks each kind and sets a label.

usage: python -m tests.bench.idle [--pairs 5] [--minutes 2]
Most of what it does comes with the minute, so whole minutes are watched: in 95 s one begins, or two.
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
    parser.add_argument("--minutes", type=int, default=2)
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
        seconds = ("--seconds", str(asked.minutes * 60))
        floors = [process.begin("floor", "idle", own, *seconds) for own in copies]
        mine = [process.begin("shown", "idle", own, *seconds) for own in copies]
        least = [process.measured(child) for child in floors]
        used = [process.measured(child) for child in mine]

    def figure(what: str, key: str, unit: str) -> Figure:
        own, floor = ([each[key] for each in found] for found in (used, least))
        ratio = statistics.median(a / b for a, b in zip(own, floor, strict=True))
        return Figure("14", what, ratio, LIMIT, f"{middle(own):.2f} to {middle(floor):.2f} {unit}")

    middle = statistics.median
    return measurement.figures(
        "Idle",
        [
            figure("idle, 10 years", "an_hour", "s an hour"),
            figure("wake-ups of its threads", "wakes", "an hour"),
        ],
    )


if __name__ == "__main__":
    sys.exit(main())
