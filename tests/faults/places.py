"""Where a whole journey writes: seen from outside the process, by the system's own trace of file calls.

Allowed are the program's own folders, the system's folder for temporary files, and what was named as a
target, with the names that a file has on its way to its place. On a computer whose typefaces nobody looked
for yet, Qt has fontconfig list them, for root in the system's own cache: that tells of no care.
"""

import re
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.faults.network import run

TRACE = ("strace", "-f", "-y", "-e", "trace=file", "-o")
# Past Python's own modules, in a child, as a library would do it.
DELIBERATE = """
import subprocess, sys
code = "import ctypes, sys; ctypes.CDLL(None).creat(sys.argv[1].encode(), 0o600)"
subprocess.run([sys.executable, "-c", code, sys.argv[1]])
"""
NAMED = (
    "record.carelog",
    "week.pdf",
    "day.pdf",
    "week.html",
    "out.jsonl",
    "copies",
    "back.carelog",
    "sealed",
    "back-2.carelog",
)
TYPEFACES = "/var/cache/fontconfig/"
_WRITES = re.compile(
    r"^\d+ +(?:(?:open|openat|openat2)\((?=.*\bO_(?:WRONLY|RDWR|CREAT|TRUNC)\b)"
    r"|(?:creat|rename|renameat2?|unlink|unlinkat|rmdir|mkdir|mkdirat|link|linkat|symlink|symlinkat|truncate"
    r"|chmod|fchmodat2?|chown|fchownat|mknod|mknodat|utimensat)\()"
)
_FAILED = re.compile(r"= -1 E\w+")
_NAME = re.compile(r'(?:AT_FDCWD(?:<([^>]*)>)?, |\d+<([^>]*)>, )?"((?:[^"\\]|\\.)*)"')
_ON_ITS_WAY = (
    r"{name}(?:-journal|-wal|-shm)?|\.{name}\.new-[0-9a-f]{{12}}(?:-journal)?|\.{name}\.[a-z0-9_]{{8}}"
)


@dataclass(frozen=True, slots=True)
class Written:
    """How a program ended, how many calls wrote, and which of them wrote elsewhere than they may."""

    status: int
    said: str
    calls: int
    elsewhere: tuple[str, ...]


def traced(words: Sequence[str], folder: Path, home: Path) -> Written:
    """Run Python with all its file calls written down; `folder` holds the named targets, `home` its own."""
    with tempfile.TemporaryDirectory() as other:
        trace = Path(other) / "trace"
        more = {"PYTHONDONTWRITEBYTECODE": "1", "TMPDIR": str(home / "temporary")}
        (home / "temporary").mkdir(parents=True)
        done = run([*TRACE, str(trace), sys.executable, *words], home, more)
        found = list(_written(trace.read_text(errors="replace").splitlines()))
    elsewhere = sorted({path for path in found if not _may(Path(path), folder, home)})
    return Written(done.status, done.said, len(found), tuple(elsewhere))


def _written(lines: Sequence[str]) -> Iterator[str]:
    """Each path that a call wrote to, made, renamed or removed, or may have where its end isn't told."""
    for line in lines:
        if _WRITES.match(line) is None or _FAILED.search(line):
            continue
        for here, beside, name in _NAME.findall(line):
            yield str(Path(here or beside or "/", name))


def _may(path: Path, folder: Path, home: Path) -> bool:
    if path.is_relative_to(home) or str(path).startswith(("/dev/", "/proc/", TYPEFACES)):
        return True
    if {path, path.parent} & {folder / "copies", folder / "sealed"}:
        return True
    return path.parent == folder and any(
        re.fullmatch(_ON_ITS_WAY.format(name=re.escape(name)), path.name) for name in NAMED
    )


def journey(*, is_short: bool = False) -> Written:
    """The whole journey, its record and its targets in a folder that isn't the program's."""
    with tempfile.TemporaryDirectory() as folder, tempfile.TemporaryDirectory() as home:
        words = ["-m", "tests.faults.journey", folder, *["--short"] * is_short]
        return traced(words, Path(folder), Path(home))


def control() -> Written:
    """A file that a library makes elsewhere by itself, in a child."""
    with tempfile.TemporaryDirectory() as folder, tempfile.TemporaryDirectory() as home:
        return traced(["-c", DELIBERATE, str(Path(folder) / "letter.txt")], Path(folder), Path(home))
