"""All measurements one after another: what holds, what doesn't, and what got worse since those kept.

usage: python -m tests.bench [--only startup,press] [--out FILE] [--keep]
       --only   some of them; without it all, about half an hour on a quiet computer
       --out    where the figures are written as JSON
       --keep   put them into the repository, in place of those measured before
Each measurement is a process of its own; a figure is kept with the load and the niceness it was measured at.
Those of the clock mean something on a quiet computer only. 1 when a figure doesn't hold, or one fails.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

from tests.bench import measurement

NAMES = (
    "startup",
    "commands",
    "press",
    "timeline",
    "course",
    "idle",
    "durable",
    "query",
    "exchange",
    "sheet",
    "laptop",
)
KEPT = Path(__file__).with_name("kept.json")
WORSE = 1.2
"""A figure that is worse by a fifth is named."""
NOT_MEASURED = 2
"""The exit status of a measurement that this computer doesn't allow."""
Kept = Mapping[str, measurement.Written]


def main() -> int:
    """Measure, print, compare, write."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--only", default=",".join(NAMES))
    parser.add_argument("--out", type=Path)
    parser.add_argument("--keep", action="store_true")
    asked = parser.parse_args()
    failed: list[str] = []
    aside: list[str] = []
    found: list[measurement.Written] = []
    for name in asked.only.split(","):
        figures, status = measured(name)
        found += figures
        if status and not figures:
            (aside if status == NOT_MEASURED else failed).append(name)
    before: Kept = json.loads(KEPT.read_text(encoding="utf-8")) if KEPT.exists() else {}
    missed = [each for each in found if each["ratio"] > each["limit"]]
    print(f"\n{len(found)} figures: {len(found) - len(missed)} hold, {len(missed)} don't.")
    for line in [*map(told, missed), *worse(found, before)]:
        print(line)
    for word, names in (("FAILED", failed), ("NOT MEASURED HERE", aside)):
        print(*(f"{word}: {name}\n" for name in names), sep="", end="")
    if asked.out is not None:
        asked.out.write_text(json.dumps(found, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    if asked.keep:
        kept = {**before, **{named(each): each for each in found}}
        KEPT.write_text(json.dumps(kept, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return int(bool(missed or failed))


def measured(name: str) -> tuple[list[measurement.Written], int]:
    """The figures of one measurement, and its exit status; its own table is printed as it comes."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "figures"
        surroundings = {**os.environ, measurement.INTO: str(file)}
        status = subprocess.run([sys.executable, "-m", f"tests.bench.{name}"], env=surroundings).returncode
        lines = file.read_text(encoding="utf-8").splitlines() if file.exists() else []
    return [json.loads(line) for line in lines], status


def named(each: measurement.Written) -> str:
    """What a figure is known by from one run to the next."""
    return f"{each['title']}: {each['what']}"


def told(each: measurement.Written) -> str:
    """A figure that doesn't hold, in a line."""
    return f"DOESN'T HOLD: {named(each)}: {each['ratio']:.2f}, asked for {each['limit']:g}"


def worse(found: Sequence[measurement.Written], before: Kept) -> list[str]:
    """A line for each figure that is worse by a fifth than the one kept."""
    return [
        f"WORSE: {named(each)}: {each['ratio']:.2f} (load {each['load']}), "
        f"it was {old['ratio']:.2f} (load {old['load']}, {old['day']})"
        for each in found
        if (old := before.get(named(each))) is not None and each["ratio"] > old["ratio"] * WORSE
    ]


if __name__ == "__main__":
    sys.exit(main())
