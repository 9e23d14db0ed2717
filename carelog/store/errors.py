"""What the database and the disk say when something fails, as plain sentences that name the cause."""

import errno
import os
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from carelog.domain.trouble import Trouble
from carelog.text import mark, say


class Damaged(Trouble):
    """The record file is damaged: nothing may be written to it any more."""


class NoRoom(Trouble):
    """Nothing more fits on the disk, or in this user's share of it."""


class Busy(Trouble):
    """Another program holds the record for the moment."""


FULL = mark("The disk is full. Nothing more was saved. Make room, then try again.")
SHARE_FULL = mark("Your share of this disk is used up. Nothing more was saved. Make room, then try again.")
READ_ONLY = mark(
    "“{name}” or its folder is read-only. Nothing was saved. Make both writable, then try again."
)
UNREADABLE = mark("“{name}” can't be opened. You may not have the right to read it or to write its folder.")
DISK = mark(
    "The disk failed while “{name}” was in use. What came last may not be saved. Check the disk, try again."
)
BUSY = mark("Another program is using “{name}” right now. Nothing was saved. Try again in a moment.")
NO_LOCKS = mark(
    "The disk of “{name}” can't lock files, so two programs at once would damage it. Nothing was saved. "
    "Copy the record to a disk of this computer, then open it there."
)
GONE = mark("The disk that holds “{name}” is gone. Nothing was saved. Put it back in, then try again.")
DAMAGED = mark(
    "“{name}” is damaged. Nothing is written to it. Get the newest backup back with carelog restore."
)
MEMORY = mark("That needs more memory than this computer has free. Nothing was changed.")
MISSING = mark("“{name}” isn't there. Check the name of the file and its folder.")
OTHER = mark("The record “{name}” could not be used ({cause}). Nothing was saved.")

_BY_CODE: dict[str, tuple[type[Trouble], str]] = {
    "SQLITE_FULL": (NoRoom, FULL),
    "SQLITE_READONLY": (Trouble, READ_ONLY),
    "SQLITE_PERM": (Trouble, READ_ONLY),
    "SQLITE_CANTOPEN": (Trouble, UNREADABLE),
    "SQLITE_AUTH": (Trouble, UNREADABLE),
    "SQLITE_IOERR": (Trouble, DISK),
    "SQLITE_PROTOCOL": (Busy, BUSY),
    "SQLITE_BUSY": (Busy, BUSY),
    "SQLITE_LOCKED": (Busy, BUSY),
    "SQLITE_NOMEM": (Trouble, MEMORY),
}
# Where the file system knows no locks; where it only has none left (ENOLCK), SQLite says that it is busy.
_WITHOUT_LOCKS = (
    "SQLITE_IOERR_LOCK",
    "SQLITE_IOERR_RDLOCK",
    "SQLITE_IOERR_UNLOCK",
    "SQLITE_IOERR_CHECKRESERVEDLOCK",
)
_NO_ROOM = {errno.ENOSPC: FULL, errno.EDQUOT: SHARE_FULL}
_BY_ERRNO: dict[int, str] = {
    **_NO_ROOM,
    errno.EROFS: READ_ONLY,
    errno.EACCES: UNREADABLE,
    errno.EPERM: UNREADABLE,
    errno.ENOENT: MISSING,
    errno.EIO: DISK,
}


_PROBE = 1 << 16  # bytes


# What a file answers whose stick was pulled out, or whose server is gone.
_TAKEN_AWAY = tuple(
    getattr(errno, name) for name in ("ENOTCONN", "ENODEV", "ENXIO", "ESTALE") if hasattr(errno, name)
)
_BY_ERRNO |= dict.fromkeys(_TAKEN_AWAY, GONE)


def failures() -> tuple[type[Exception], ...]:
    """What a connection raises: SQLAlchemy wraps it, once something has imported that."""
    wrapping = sys.modules.get("sqlalchemy.exc")
    return (sqlite3.Error,) if wrapping is None else (sqlite3.Error, wrapping.SQLAlchemyError)


def unwrapped(error: BaseException) -> BaseException:
    """The driver's own error."""
    inner = getattr(error, "orig", None)
    return inner if isinstance(inner, BaseException) else error


def code_of(error: BaseException) -> str:
    """SQLite's name of an error without its finer part (SQLITE_IOERR_WRITE: SQLITE_IOERR); else empty."""
    return "_".join(_finer_code_of(error).split("_")[:2])


def _finer_code_of(error: BaseException) -> str:
    return str(getattr(unwrapped(error), "sqlite_errorname", "") or "")


def is_busy(error: BaseException) -> bool:
    """Whether another program holds a lock."""
    return code_of(error) in ("SQLITE_BUSY", "SQLITE_LOCKED", "SQLITE_PROTOCOL")


def has_a_sentence(error: OSError) -> bool:
    """Whether what the system says has a cause of its own, other than that the disk failed or is gone."""
    return error.errno in _BY_ERRNO and error.errno not in (errno.EIO, *_TAKEN_AWAY)


def is_disk_failure(error: BaseException | None) -> bool:
    """Whether SQLite says that the disk failed."""
    return error is not None and code_of(error) == "SQLITE_IOERR"


def is_damage(error: BaseException) -> bool:
    """Whether an error says that the file itself is wrong, and not the disk, the rights or the moment."""
    # A question that fits every record of ours but not this one (SQLITE_ERROR): its tables aren't ours.
    if code_of(error) in ("SQLITE_CORRUPT", "SQLITE_NOTADB", "SQLITE_ERROR"):
        return True
    # Bytes that aren't UTF-8, in a text or in SQLite's own message about them: there is no code for that.
    cause = unwrapped(error)
    is_undecodable = isinstance(cause, sqlite3.Error) and "decode to UTF-8" in str(cause)
    return is_undecodable or isinstance(error, UnicodeDecodeError)


def trouble_of(error: BaseException, path: Path) -> Trouble:
    """The sentence for an error of the database or the disk."""
    if isinstance(error, Trouble):
        return error
    name = path.name
    if isinstance(error, OSError):
        words = _BY_ERRNO.get(error.errno or 0, OTHER)
        failed = NoRoom if error.errno in _NO_ROOM else Trouble
        return failed(say(words).format(name=name, cause=error.strerror or type(error).__name__))
    if _finer_code_of(error) in _WITHOUT_LOCKS:
        return Trouble(say(NO_LOCKS).format(name=name))
    if is_disk_failure(error) and (room := _lack_of_room(path.parent)):
        return NoRoom(say(room))
    kind, words = (Damaged, DAMAGED) if is_damage(error) else _BY_CODE.get(code_of(error), (Trouble, OTHER))
    cause = unwrapped(error)
    return kind(say(words).format(name=name, cause=str(cause)[:80] or type(error).__name__))


def _lack_of_room(folder: Path) -> str:
    """Whether a disk that fails takes no more: SQLite tells a used-up share as it tells a broken disk."""
    if not hasattr(os, "O_TMPFILE"):
        return ""
    try:
        probe = os.open(folder, os.O_TMPFILE | os.O_WRONLY, 0o600)  # a file without a name, gone when closed
        try:
            # What no longer fits whole is written in part, without an error: only the next write has one.
            left = memoryview(os.urandom(_PROBE))
            while left and (taken := os.write(probe, left)):
                left = left[taken:]
            os.fsync(probe)
        finally:
            os.close(probe)
    except OSError as error:
        return _NO_ROOM.get(error.errno or 0, "")
    return ""


def cause_of(error: BaseException) -> str:
    """What SQLite itself said, in its own words and on one line."""
    inner: BaseException = error
    while inner.__cause__ is not None:
        inner = inner.__cause__
    return " ".join(str(inner).split())


@contextmanager
def plain(path: Path) -> Iterator[None]:
    """Whatever fails inside leaves as `Trouble` with a plain sentence."""
    try:
        yield
    except MemoryError as error:
        raise Trouble(say(MEMORY)) from error
    except Exception as error:
        if not isinstance(error, (*failures(), OSError, UnicodeDecodeError)):
            raise
        raise trouble_of(error, path) from error
