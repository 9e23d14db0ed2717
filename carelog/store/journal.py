"""What SQLite keeps beside a record while it works, and what of that a power cut left behind.

SQLite rolls a journal into whatever file bears its name. So one that outlived its own file is set aside
before another file gets that name, and one that names a further file isn't followed at all.
"""

import contextlib
import os
import time
from collections.abc import Iterator
from pathlib import Path

from carelog.domain.trouble import Refused
from carelog.text import mark, say

ENDS = ("-journal", "-wal", "-shm")
_MAGIC = bytes.fromhex("d9d505f920a163d7")  # ends a journal that names another one (SQLite: pager.c)
_PATIENCE = 5  # seconds

NOT_OURS = mark(
    "“{name}” was not written by carelog: it names another file. Nothing was opened. Move it away first."
)


def beside(file: Path, end: str) -> Path:
    """SQLite's own file beside a record."""
    return file.with_name(file.name + end)


def is_interrupted(file: Path) -> bool:
    """Whether the file must be opened for writing before it can be read.

    A transaction may have been cut off (the journal beside it isn't empty), or another program has left the
    file in the mode of a write-ahead log, which ends with the first opening of ours.
    """
    return is_write_ahead(file) or any(_size(beside(file, end)) > 0 for end in ("-journal", "-wal"))


def is_write_ahead(file: Path) -> bool:
    """Whether another program has left the file in the mode of a write-ahead log."""
    with file.open("rb") as stream:
        return stream.read(20)[18:] == b"\x02\x02"


def check(file: Path) -> None:
    """`Refused` for a journal with the name of a further file, which SQLite would remove at the end.

    A record is written to alone, never together with another database; so no journal of ours has one.
    """
    journal = beside(file, "-journal")
    try:
        with journal.open("rb") as stream:
            if stream.seek(0, os.SEEK_END) < len(_MAGIC):
                return
            stream.seek(-len(_MAGIC), os.SEEK_END)
            is_ours = stream.read() != _MAGIC
    except FileNotFoundError:
        return
    if not is_ours:
        raise Refused(say(NOT_OURS).format(name=journal.name))


def set_aside(file: Path) -> list[Path]:
    """Rename what lies beside a name whose own file is gone; returns the new names.

    Nothing but empty ones is thrown away: with the file that it belonged to, a journal is worth having.
    """
    aside = []
    for end in ENDS:
        left = beside(file, end)
        if not os.path.lexists(left):
            continue
        if left.is_file() and left.lstat().st_size == 0:
            left.unlink()
            continue
        number = 1
        while os.path.lexists(new := beside(file, f"{end}.left-{number}")):
            number += 1
        left.rename(new)
        aside.append(new)
    return aside


@contextlib.contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Let one process at a time give names in a folder, where the file system knows such locks.

    Without it a journal that was left could be mistaken for that of a record which another process has made
    meanwhile.
    """
    if os.name != "posix":
        yield  # Windows renames no file that is open
        return
    import fcntl

    handle = os.open(folder, os.O_RDONLY)
    try:
        last = time.monotonic() + _PATIENCE
        while time.monotonic() < last:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                time.sleep(0.01)
            except OSError:
                break
            else:
                break
        yield
    finally:
        os.close(handle)


def _size(file: Path) -> int:
    try:
        return file.stat().st_size
    except FileNotFoundError:
        return 0
