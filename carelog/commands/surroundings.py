"""What a command finds around it: folders, clock, ids, and the three streams."""

import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import BinaryIO, TextIO

from carelog.app.ports import Clock, Ids
from carelog.paths import Places


@dataclass(frozen=True, slots=True)
class Surroundings:
    """The real parts for a command, or a test's own."""

    places: Places
    clock: Clock
    ids: Ids
    answers: TextIO
    errors: TextIO
    lines: Callable[[], BinaryIO]
    environment: Mapping[str, str]
    platform: str = sys.platform

    def say(self, text: str) -> None:
        """One line of the answer."""
        self.answers.write(f"{text}\n")

    def warn(self, sentence: str) -> None:
        """One line on standard error."""
        self.errors.write(f"carelog: {' '.join(sentence.split())}\n")
        self.errors.flush()


def real_surroundings() -> Surroundings:
    """This process's own, for this user on this computer."""
    from carelog.app.clock import SystemClock, new_ids
    from carelog.paths import default_places

    for stream in (sys.stdout, sys.stderr):
        # A terminal that isn't UTF-8, or a file name that isn't, still gets its line.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    return Surroundings(
        places=default_places(),
        clock=SystemClock(),
        ids=new_ids,
        answers=sys.stdout,
        errors=sys.stderr,
        lines=lambda: sys.stdin.buffer,
        environment=os.environ,
    )
