"""The window's lock on a record: one window a record, and who has it when it isn't ours."""

import errno
import json
import os
import sys
from pathlib import Path
from typing import BinaryIO, NamedTuple

from carelog import paths
from carelog.domain.instant import Instant
from carelog.text import mark, say

UNSURE = mark(
    "Whether another window has this record open can't be told here ({cause}). Open it in one window only."
)
_TAKEN = (errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK)


def _host() -> str:
    """This computer's name."""
    if sys.platform == "win32":
        import socket  # which costs a start more than the rest of this module

        return socket.gethostname()
    return os.uname().nodename


class Holder(NamedTuple):
    """Whose window has the record open: the computer's name, the process, since when."""

    host: str
    pid: int
    since: Instant

    @property
    def is_here(self) -> bool:
        """Whether it is a window of this computer, which a second start can raise."""
        return self.host == _host()


class WindowLock:
    """A file in the state folder, locked by the operating system for as long as the window lives.

    A process that died leaves no lock, whatever its file says. The file of another computer that shares the
    folder can't be seen through like that: its holder is named, and `take(over=True)` is the person's choice.
    """

    def __init__(self, file: Path) -> None:
        """`file`: the record's own in the state folder (`Places.lock`)."""
        self.path = file
        self.warning = ""
        """The sentence for a place that knows no locks; then every window opens."""
        self._file: BinaryIO | None = None

    def take(self, now: Instant, over: bool = False) -> Holder | None:
        """None once the lock is ours (or the place knows no locks: see `warning`), else who has it."""
        try:
            file = self._opened()
        except OSError as error:
            self._doubt(error)
            return None
        try:
            is_ours = _lock(file)
        except OSError as error:
            file.close()
            self._doubt(error)
            return None
        if not is_ours:
            other = _holder(file) or Holder(_host(), 0, now)
            file.close()
            return other
        found = _holder(file)
        if found and not found.is_here and not over:
            file.close()
            return found
        self._file = file
        _write(file, Holder(_host(), os.getpid(), now))
        return None

    def _doubt(self, error: OSError) -> None:
        self.warning = say(UNSURE).format(cause=error.strerror or type(error).__name__)

    def release(self) -> None:
        """Give the record back to the next window."""
        if self._file is None:
            return
        self._file.seek(0)
        self._file.truncate()  # emptied, never removed: another start may be waiting with the file open
        self._file.close()
        self._file = None

    def _opened(self) -> BinaryIO:
        paths.make_private(self.path.parent)
        return paths.open_private(self.path, "r+b", buffering=0)


def _holder(file: BinaryIO) -> Holder | None:
    file.seek(0)
    try:
        found = json.loads(file.read(4096))
        return Holder(str(found["host"]), int(found["pid"]), int(found["since"]))
    except (ValueError, TypeError, KeyError, OSError):
        return None


def _write(file: BinaryIO, holder: Holder) -> None:
    file.seek(0)
    file.truncate()
    file.write(json.dumps(holder._asdict()).encode())


def _lock(file: BinaryIO) -> bool:
    """Whether the lock is ours now; `OSError` where the file system knows none."""
    try:
        if sys.platform == "win32":
            import msvcrt

            # One byte far behind the text, which others must still be able to read.
            file.seek(1 << 20)
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in _TAKEN:
            return False
        raise
    return True
