"""Errors nobody expected: one plain sentence for the person, one line by type and place for the log.

A log line never holds a value: no message, no argument, no path beyond the program's own modules.
"""

import sys
import threading
from collections.abc import Callable
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from carelog import __version__, paths
from carelog.text import mark, say

if TYPE_CHECKING:
    from carelog.app.ports import Clock

LIMIT = 500_000  # bytes a file; two files make 1 MB
SENTENCE = mark("Something went wrong inside carelog. What is saved is safe; the log says where: {log}.")


class FaultLog:
    """Two private files in turn: the one in use, and the one before it with “.1” at its end."""

    def __init__(self, path: Path, clock: "Clock") -> None:
        self.path = path
        self._clock = clock

    def note(self, error: BaseException) -> None:
        """Write one line; a disk that doesn't take it loses the line and nothing else."""
        from carelog.domain.moment import utc_text

        try:
            self._turn()
            with paths.open_private(self.path, "ab") as file:
                line = f"{utc_text(self._clock.now())} {__version__} {trace(error)}\n"
                file.write(line.encode("ascii", "backslashreplace"))
        except OSError:
            return

    def sentence(self) -> str:
        """What to tell the person."""
        return say(SENTENCE).format(log=self.path)

    def _turn(self) -> None:
        paths.make_private(self.path.parent)
        if self.path.exists() and self.path.stat().st_size > LIMIT:
            self.path.replace(self.path.with_name(self.path.name + ".1"))


def trace(error: BaseException) -> str:
    """The types of an error and its causes, and where in the program each came up: no values."""
    parts: list[str] = []
    each: BaseException | None = error
    while each is not None and len(parts) < 5:
        parts.append(f"{type(each).__name__} at {_place(each)}")
        each = each.__cause__ or each.__context__
    return " from ".join(parts)


def _place(error: BaseException) -> str:
    import traceback

    frames = traceback.extract_tb(error.__traceback__)
    return " < ".join(
        f"{Path(each.filename).name}:{each.lineno}:{each.name}" for each in reversed(frames[-12:])
    )


def watch(log: FaultLog, tell: Callable[[str], None]) -> None:
    """Send every unexpected error of every thread to the log, and its sentence to the person."""

    def caught(
        kind: type[BaseException], error: BaseException | None, _traceback: TracebackType | None
    ) -> None:
        if issubclass(kind, KeyboardInterrupt):
            return
        log.note(error if error is not None else kind())
        tell(log.sentence())

    def caught_in_thread(found: threading.ExceptHookArgs) -> None:
        caught(found.exc_type, found.exc_value, found.exc_traceback)

    sys.excepthook = caught
    threading.excepthook = caught_in_thread
