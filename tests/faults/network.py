"""Whether anything in the program, Qt and PDFium within it, opens a network socket or needs a network.

Two watchers stand outside the process: the system's own trace of every `socket` call, and a network
namespace that holds nothing. Each is shown first that it sees what it is there for.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.faults.journey import DONE
from tests.ui.screen import display

ROOT = Path(__file__).resolve().parent.parent.parent
NETWORK = ("AF_INET", "AF_INET6")
EMPTY = ("unshare", "-rn")  # a network namespace of its own, without even a loopback that is up
TRACE = ("strace", "-f", "-e", "trace=socket", "-o")
PACKAGES = {"strace": "strace", "unshare": "util-linux", "Xvfb": "xvfb"}
SOCKET = re.compile(r"\bsocket\((\w+)")
# Past Python's own module, in a thread of a child, as a library would open it.
DELIBERATE = """
import ctypes, subprocess, sys, threading
code = "import ctypes; [ctypes.CDLL(None).socket(family, 1, 0) for family in (2, 10)]"
thread = threading.Thread(target=subprocess.run, args=([sys.executable, "-c", code],))
thread.start()
thread.join()
"""
CALL = """
import socket
with socket.create_server(("127.0.0.1", 0)) as server:
    socket.create_connection(server.getsockname(), 5).close()
"""


@dataclass(frozen=True, slots=True)
class Walked:
    """How a program ended, what it said last, and how many sockets of each family were opened."""

    status: int
    said: str
    sockets: Mapping[str, int]

    @property
    def network(self) -> int:
        """How many network sockets were opened."""
        return sum(self.sockets.get(family, 0) for family in NETWORK)

    @property
    def is_done(self) -> bool:
        """Whether the whole journey was walked."""
        return self.status == 0 and self.said.startswith(DONE)


def why_not(program: str) -> str:
    """Why a watcher can't watch here, in a sentence; empty when it can."""
    if shutil.which(program) is None:
        return f"{program} isn't installed (Debian package: {PACKAGES[program]})"
    tried = {"strace": ["strace", "-o", os.devnull, "true"], "unshare": [*EMPTY, "true"]}[program]
    done = subprocess.run(tried, capture_output=True, text=True)
    return f"this system doesn't allow {program} ({done.stderr.strip()[:100]})" if done.returncode else ""


def without_network(words: Sequence[str]) -> Walked:
    """Run Python in an empty network namespace."""
    return run([*EMPTY, sys.executable, *words])


def traced(words: Sequence[str]) -> Walked:
    """Run Python with every `socket` call of it and of its children written down."""
    with tempfile.TemporaryDirectory() as folder:
        trace = Path(folder) / "trace"
        done = run([*TRACE, str(trace), sys.executable, *words])
        return Walked(done.status, done.said, Counter(SOCKET.findall(trace.read_text(errors="replace"))))


@contextmanager
def journey(is_short: bool = False) -> Iterator[list[str]]:
    """The words after `python` that walk the journey, in a folder of its own."""
    with tempfile.TemporaryDirectory() as folder:
        yield ["-m", "tests.faults.journey", folder, *["--short"] * is_short]


def run(command: Sequence[str], home: Path | None = None, more: Mapping[str, str] | None = None) -> Walked:
    """Run a command with folders of its own (in `home`, if given), on a display where there is one."""
    with tempfile.TemporaryDirectory() as other:
        names = ("DATA", "CONFIG", "STATE", "CACHE", "RUNTIME_DIR")
        homes = {f"XDG_{name}_HOME": str(home or other) for name in names}
        with _screen() as screen:
            environment = {**os.environ, **homes, **screen, **(more or {})}
            done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True)
    said = [line for line in (done.stderr + done.stdout).splitlines() if line.strip()]
    return Walked(done.returncode, said[-1] if said else "", {})


@contextmanager
def _screen() -> Iterator[dict[str, str]]:
    """A display where there is one to be had, so that Qt's own way to it is watched too."""
    if shutil.which("Xvfb") is None:
        yield {"QT_QPA_PLATFORM": "offscreen"}
        return
    with display() as name:
        yield {"QT_QPA_PLATFORM": "xcb", "DISPLAY": name}
