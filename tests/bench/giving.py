"""Giving out a long record: processor time and memory of each form, in a process of its own.

usage: python -m tests.bench.giving [--entries 110000] [--year 11000] [--forms csv xlsx …]
Each is `carelog export` as people run it; the document is one of a year. The limits are those of the guide.
"""

import argparse
import os
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from tests.bench.measurement import Figure, figures
from tests.bench.process import household

SECONDS = 20.0
"""Of the processor, user and system together."""
MEGABYTES = 400.0
FORMS = ("exchange", "csv", "xlsx", "html", "zip", "fhir")
_PLACE = "import sys; from carelog.main import main; sys.exit(main(sys.argv[1:]))"


def main() -> int:
    """Measure and print; 0 when all figures hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--entries", type=int, default=110_000)
    parser.add_argument("--year", type=int, default=11_000)
    parser.add_argument("--forms", nargs="+", default=FORMS, choices=FORMS)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        counts = {form: asked.year if form == "fhir" else asked.entries for form in asked.forms}
        records = {
            count: household(Path(folder) / f"{count}.carelog", count)
            for count in sorted(set(counts.values()))
        }
        found = [
            figure
            for form, count in counts.items()
            for figure in _measured(form, count, records[count], Path(folder))
        ]
    return figures("Giving the record out", found)


def _measured(form: str, count: int, record: Path, folder: Path) -> list[Figure]:
    target = folder / f"out-{form}"
    seconds, megabytes, status = run(["export", str(target), "--record", str(record), "--as", form], folder)
    if status:
        raise RuntimeError(f"carelog export --as {form} ended with {status}")
    files = [target] if target.is_file() else list(target.rglob("*"))
    size = sum(each.stat().st_size for each in files) / 1e6
    return [
        Figure(
            "giving",
            f"{form} of {count} entries, in {SECONDS:g} s of the processor",
            seconds / SECONDS,
            1.0,
            f"{seconds:.1f} s, {size:.1f} MB",
        ),
        Figure(
            "giving",
            f"{form} of {count} entries, in {MEGABYTES:g} MB at the most",
            megabytes / MEGABYTES,
            1.0,
            f"{megabytes:.0f} MB",
        ),
    ]


def run(words: Sequence[str], folder: Path) -> tuple[float, float, int]:
    """Seconds of the processor, megabytes at the peak, and the exit status of one command."""
    home = dict.fromkeys(("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME"), str(folder / "home"))
    command = [sys.executable, "-c", _PLACE, *words]
    child = subprocess.Popen(command, env={**os.environ, **home}, stdout=subprocess.DEVNULL)
    _pid, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, child.returncode


if __name__ == "__main__":
    sys.exit(main())
