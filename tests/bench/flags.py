"""From the start of the window on a very long record to its flags on screen, and the memory that this takes.

usage: python -m tests.bench.flags [--entries 1000000] [--a-day 72] [--starts 3] [--rest 20] [--record FILE]
Each start is the real window (offscreen) in a process of its own. No floor: the limits are the guide's.
Memory at rest, so many seconds after the flags, is held against that of a month.
The processor's time, of all threads, is what is held: the clock's says how busy the computer was, too.
"""

import argparse
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from statistics import median
from typing import Any

from tests.bench import process
from tests.bench.measurement import A_MILLION, Figure, figures

A_DAY = 72
"""Fourteen thousand days: at 36 a day a million entries would begin before 1970."""
SECONDS = 10.0
MEGABYTES = 400.0
AT_REST = 1.2
"""To a month at as many a day."""
Started = dict[str, Any]


def main() -> int:
    """Measure and print; 0 when all figures hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--entries", type=int, default=A_MILLION)
    parser.add_argument("--a-day", type=int, default=A_DAY)
    parser.add_argument("--starts", type=int, default=3)
    parser.add_argument("--rest", type=float, default=20.0, help="seconds of rest before memory is read")
    parser.add_argument("--record", type=Path, help="one that is there already, in place of a made-up one")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        record = asked.record or process.household(Path(folder) / "long.carelog", asked.entries, asked.a_day)
        month = process.household(Path(folder) / "month.carelog", 30 * asked.a_day, asked.a_day)
        resting = ("--seconds", str(asked.rest))
        process.window("shown", "start", str(month))  # compiles what isn't compiled yet
        process.window("shown", "start", str(record))
        runs = [
            (
                process.window("shown", "flags", str(record)),
                process.window("shown", "start", str(record), *resting),
                process.window("shown", "start", str(month), *resting),
            )
            for _ in range(asked.starts)
        ]
    return figures(f"A start on {asked.entries} entries", found(runs))


def found(runs: Sequence[tuple[Started, Started, Started]]) -> list[Figure]:
    """The figures: the worst of the starts, and the median of what memory at rest is to a month's."""
    starts = [run[0] for run in runs]
    slow = max(each["processor"] for each in starts)
    peak = max(each["peak"] for each in starts)
    clock = max(each["flags"] for each in starts) / 1000
    ratio = median(long["resident"] / month["resident"] for _, long, month in runs)
    shown = ", ".join(f"{long['resident']:.0f} to {month['resident']:.0f}" for _, long, month in runs)
    return [
        Figure(
            "flags",
            f"the first flags, in {SECONDS:g} s of the processor",
            slow / SECONDS,
            1.0,
            f"{slow:.1f} s, {clock:.1f} s by the clock",
        ),
        Figure(
            "flags",
            f"memory until then, in {MEGABYTES:g} MB at the most",
            peak / MEGABYTES,
            1.0,
            f"{peak:.0f} MB",
        ),
        Figure("flags", "memory at rest, to a month", ratio, AT_REST, f"{shown} MB"),
    ]


if __name__ == "__main__":
    sys.exit(main())
