"""A virtual display of its own for a test that needs a real one."""

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def display() -> Iterator[str]:
    """A virtual display of its own, given as what DISPLAY holds."""
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", "1024x600x24", "-nolisten", "tcp"],
        pass_fds=(write,),
        stderr=subprocess.DEVNULL,
    )
    os.close(write)
    try:
        with os.fdopen(read) as found:
            yield f":{found.readline().strip()}"
    finally:
        server.terminate()
        server.wait(10)
