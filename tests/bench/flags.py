"""From the start of the window on a very long record to its flags on screen, and the memory that this takes.

usage: python -m tests.bench.flags [--entries 1000000] [--a-day 72] [--starts 3] [--record FILE]
Each start is the real window (offscreen) in a process of its own. No floor: the limits are the guide's.
The processor's time, of all threads, is what is held: the clock's says how busy the computer was, too.
"""

import argparse
import sys
import tempfile
from pathlib import Path

from tests.bench import process
from tests.bench.measurement import A_MILLION, table

A_DAY = 72
"""Fourteen thousand days: at 36 a day a million entries would begin before 1970."""
SECONDS = 10.0
MEGABYTES = 400.0


def main() -> int:
    """Measure and print; 0 when all starts hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--entries", type=int, default=A_MILLION)
    parser.add_argument("--a-day", type=int, default=A_DAY)
    parser.add_argument("--starts", type=int, default=3)
    parser.add_argument("--record", type=Path, help="one that is there already, in place of a made-up one")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        record = asked.record or process.household(Path(folder) / "long.carelog", asked.entries, asked.a_day)
        runs = [process.window("shown", "flags", str(record)) for _ in range(asked.starts)]
    held = [run["processor"] <= SECONDS and run["peak"] <= MEGABYTES for run in runs]
    rows = [
        (
            run["count"],
            f"{run['processor']:.1f} s",
            f"{run['flags'] / 1000:.1f} s",
            f"{run['peak']:.0f} MB",
            good,
        )
        for run, good in zip(runs, ("yes" if each else "NO" for each in held), strict=True)
    ]
    heads = ("entries", "processor, to the flags", "by the clock", "peak memory", "held")
    table(f"First flags, at most {SECONDS:g} s and {MEGABYTES:g} MB", heads, rows)
    return int(not all(held))


if __name__ == "__main__":
    sys.exit(main())
