"""All measurements one after another: what holds, what doesn't, and what got worse since those kept.

usage: python -m tests.bench [--only startup,press] [--out FILE] [--keep]
       --only   some of them; without it all, about half an hour on a quiet computer
       --out    where the figures are written as JSON
       --keep   put them into the repository, in place of those measured before
Each measurement is a process of its own. 1 when a figure doesn't hold, or one fails.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from tests.bench import measurement

NAMES = ("startup", "press", "timeline", "course", "idle", "durable", "query", "exchange", "sheet")
KEPT = Path(__file__).with_name("kept.json")
WORSE = 1.2
"""A figure that is worse by a fifth is named."""
Kept = Mapping[str, float]


def main() -> int:
    """Measure, print, compare, write."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--only", default=",".join(NAMES))
    parser.add_argument("--out", type=Path)
    parser.add_argument("--keep", action="store_true")
    asked = parser.parse_args()
    failed, found = [], []
    for name in asked.only.split(","):
        figures, status = measured(name)
        found += figures
        if status and not figures:
            failed.append(name)
    before: Kept = json.loads(KEPT.read_text(encoding="utf-8")) if KEPT.exists() else {}
    missed = [each for each in found if each["ratio"] > each["limit"]]
    print(f"\n{len(found)} figures: {len(found) - len(missed)} hold, {len(missed)} don't.")
    for line in [*map(told, missed), *worse(found, before), *(f"FAILED: {name}" for name in failed)]:
        print(line)
    if asked.out is not None:
        asked.out.write_text(json.dumps(found, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    if asked.keep:
        KEPT.write_text(json.dumps({**before, **ratios(found)}, indent=1) + "\n", encoding="utf-8")
    return int(bool(missed or failed))


def measured(name: str) -> tuple[list[measurement.Written], int]:
    """The figures of one measurement, and its exit status; its own table is printed as it comes."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "figures"
        surroundings = {**os.environ, measurement.INTO: str(file)}
        status = subprocess.run([sys.executable, "-m", f"tests.bench.{name}"], env=surroundings).returncode
        lines = file.read_text(encoding="utf-8").splitlines() if file.exists() else []
    return [json.loads(line) for line in lines], status


def ratios(found: Iterable[measurement.Written]) -> dict[str, float]:
    """Each figure's ratio, by what it says."""
    return {f"{each['title']}: {each['what']}": round(each["ratio"], 3) for each in found}


def told(each: measurement.Written) -> str:
    """A figure that doesn't hold, in a line."""
    return f"DOESN'T HOLD: {each['title']}: {each['what']}: {each['ratio']:.2f}, asked for {each['limit']:g}"


def worse(found: Sequence[measurement.Written], before: Kept) -> list[str]:
    """A line for each figure that is worse by a fifth than the one kept."""
    now = ratios(found)
    return [
        f"WORSE: {name}: {ratio:.2f}, it was {before[name]:.2f}"
        for name, ratio in now.items()
        if name in before and ratio > before[name] * WORSE
    ]


if __name__ == "__main__":
    sys.exit(main())
