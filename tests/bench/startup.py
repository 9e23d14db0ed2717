"""From the start to the board painted, to the dues on screen, and the memory at rest.

usage: python -m tests.bench.startup [--pairs 7] [--seconds 2]    (under a display: xvfb-run -a python …)
Floors: a bare window; forty buttons first, then 250 rows by SQLAlchemy's object mapper. Each start is a fresh
process; the program's first one, which reads the whole record for its flags, isn't counted.
"""

import argparse
import statistics
import sys
import tempfile
from pathlib import Path
from typing import Any

from tests.bench import measurement, process
from tests.bench.measurement import A_MONTH, TEN_YEARS, Figure

Runs = dict[str, list[dict[str, Any]]]


def main() -> int:
    """Measure and print; 0 when all figures hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--pairs", type=int, default=7)
    parser.add_argument("--seconds", type=float, default=2.0, help="of rest before memory is read")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        records = {
            name: str(process.household(Path(folder) / f"{count}.carelog", count))
            for name, count in (("1 month", A_MONTH), ("10 years", TEN_YEARS))
        }
        runs = measure(records, asked.pairs, str(asked.seconds))
    unwanted = sorted({name for each in runs["10 years"] for name in each["unwanted"]})
    print("imported and not wanted at the start:", ", ".join(unwanted) or "nothing")
    return measurement.figures("Start", figures(runs)) or int(bool(unwanted))


def measure(records: dict[str, str], pairs: int, seconds: str) -> Runs:
    """All windows in turn; the first round only warms up and leaves the state of the flags."""
    last = records["10 years"]
    found: Runs = {"bare": [], "late": [], **{name: [] for name in records}}
    for number in range(pairs + 1):
        one = {
            "bare": process.window("floor", "bare", last),
            "late": process.window("floor", "late", last, "--seconds", seconds),
            **{
                name: process.window("shown", "start", record, "--seconds", seconds)
                for name, record in records.items()
            },
        }
        for name, each in one.items() if number else ():
            found[name].append(each)
    return found


def figures(runs: Runs) -> list[Figure]:
    """The figures, each the median of the ratios of pairs."""

    def figure(number: str, what: str, key: str, mine: str, floor: str, limit: float) -> Figure:
        own = [each[key] for each in runs[mine]]
        least = [each[key] for each in runs[floor]]
        ratio = statistics.median(a / b for a, b in zip(own, least, strict=True))
        unit = "MB" if key == "resident" else "ms"
        scale = 1000 if key == "used" else 1
        shown = f"{statistics.median(own) * scale:.0f} to {statistics.median(least) * scale:.0f} {unit}"
        return Figure(number, what, ratio, limit, shown)

    return [
        figure("1", "first paint of the board to a bare window", "first", "10 years", "bare", 1.3),
        figure("1", "the same in processor time", "used", "10 years", "bare", 1.3),
        figure("2", "dues on screen to board + rows", "second", "10 years", "late", 1.25),
        figure("4", "memory at rest to board + rows", "resident", "10 years", "late", 1.3),
        figure("4", "memory at rest, 10 years to 1 month", "resident", "10 years", "1 month", 1.1),
    ]


if __name__ == "__main__":
    sys.exit(main())
