"""Commands that people wait for, each a process of its own from its start to its end.

usage: python -m tests.bench.commands [--times 5]
No floor: what is asked for is the guide's, in seconds of the processor.
"""

import argparse
import statistics
import sys
import tempfile
from pathlib import Path

from tests.bench import measurement, process
from tests.bench.measurement import A_MONTH, TEN_YEARS, Figure

ASKED = {"due": 0.25, "flags": 0.6}
"""Seconds of the processor, whatever the record's length."""


def main() -> int:
    """Measure and print; 0 when all figures hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=5)
    asked = parser.parse_args()
    found = []
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder) / "home"
        for length, count in (("four weeks", A_MONTH), ("ten years", TEN_YEARS)):
            record = process.household(Path(folder) / f"{count}.carelog", count)
            for command, seconds in ASKED.items():
                words = [command, "--record", str(record)]
                process.command(words, home)  # compiles what isn't compiled yet
                runs = [process.command(words, home) for _ in range(asked.times)]
                used, clock = (statistics.median(each) for each in zip(*runs, strict=True))
                shown = f"{used:.2f} s of the processor, {clock:.2f} s by the clock"
                what = f"carelog {command}, {length}, in {seconds:g} s"
                found.append(Figure("commands", what, used / seconds, 1.0, shown))
    return measurement.figures("Commands", found)


if __name__ == "__main__":
    sys.exit(main())
