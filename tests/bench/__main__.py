"""All measurements one after another: what holds, what doesn't, and what got worse since those kept.

usage: python -m tests.bench [--only startup,press] [--out FILE] [--keep]
       --only   some of them; without it all, some twenty minutes on a quiet computer
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
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.bench import measurement

NAMES = (
    "startup",
    "press",
    "laptop",
    "idle",
    "timeline",
    "visit",
    "course",
    "pages",
    "flags",
    "commands",
    "query",
    "durable",
    "exchange",
    "giving",
    "sheet",
)
"""What is by the clock comes first, the command's own work and the long ones last."""
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
    names: list[str] = asked.only.split(",")
    runs = [measured(name) for name in names]
    found = [each for run in runs for each in run.figures]
    before: Kept = json.loads(KEPT.read_text(encoding="utf-8")) if KEPT.exists() else {}
    print(*summary(runs, before), sep="\n")
    if asked.out is not None:
        asked.out.write_text(json.dumps(found, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    if asked.keep:
        kept = {**before, **{named(each): each for each in found}}
        KEPT.write_text(json.dumps(kept, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return int(any(run.has_failed or any(map(is_missed, run.figures)) for run in runs))


def summary(runs: "Sequence[Run]", before: Kept) -> list[str]:
    """What is said at the end, a line each."""
    found = [each for run in runs for each in run.figures]
    missed = [each for each in found if is_missed(each)]
    unlike = sum(is_unlike(each, before[named(each)]) for each in found if named(each) in before)
    took = ", ".join(f"{run.name} {run.seconds:.0f} s" for run in runs)
    return [
        f"\n{took}; {sum(run.seconds for run in runs) / 60:.0f} minutes in all",
        f"{len(found)} figures: {len(found) - len(missed)} hold, {len(missed)} don't.",
        *map(told, missed),
        *worse(found, before),
        *([f"{unlike} of those kept were measured at another load or niceness."] if unlike else []),
        *(f"FAILED: {run.name}" for run in runs if run.has_failed),
        *(f"NOT MEASURED HERE: {run.name}" for run in runs if run.is_aside),
    ]


@dataclass(frozen=True, slots=True)
class Run:
    """One measurement: its figures, its exit status, and the seconds by the clock that it took."""

    name: str
    figures: Sequence[measurement.Written]
    status: int
    seconds: float

    @property
    def is_aside(self) -> bool:
        """Whether this computer doesn't allow it."""
        return self.status == NOT_MEASURED and not self.figures

    @property
    def has_failed(self) -> bool:
        """Whether it ended without a figure, or otherwise than by one that doesn't hold."""
        is_told = bool(self.figures) and self.status == int(any(map(is_missed, self.figures)))
        return not (is_told or self.is_aside)


def measured(name: str) -> Run:
    """Measure one thing; its own table is printed as it comes."""
    start = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "figures"
        surroundings = {**os.environ, measurement.INTO: str(file)}
        status = subprocess.run([sys.executable, "-m", f"tests.bench.{name}"], env=surroundings).returncode
        lines = file.read_text(encoding="utf-8").splitlines() if file.exists() else []
    return Run(name, [json.loads(line) for line in lines], status, time.monotonic() - start)


def is_missed(each: measurement.Written) -> bool:
    """Whether a figure doesn't hold."""
    return each["ratio"] > each["limit"]


def is_unlike(each: measurement.Written, old: measurement.Written) -> bool:
    """Whether another load or niceness makes two figures hard to compare."""
    low, high = sorted((each["load"], old["load"]))
    return each["nice"] != old["nice"] or high > max(low * 1.5, low + 1)


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
        + (", measured at another load or niceness" if is_unlike(each, old) else "")
        for each in found
        if (old := before.get(named(each))) is not None and each["ratio"] > old["ratio"] * WORSE
    ]


if __name__ == "__main__":
    sys.exit(main())
