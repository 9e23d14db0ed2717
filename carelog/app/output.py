"""Files that somebody asked for: written whole or not at all, and never over a record."""

import os
import stat
from collections.abc import Callable, Iterable
from pathlib import Path

from carelog.domain.trouble import Trouble, WrongUse
from carelog.paths import in_place_of
from carelog.text import say

_RECORD_START = b"SQLite format 3\0"


def write_file(target: Path, parts: Iterable[bytes], record: Path | None = None) -> int:
    """Write the parts to a private file and return how many there were; `Trouble` if it fails.

    A record is never written over: neither `record`, which is open, nor any other. A pipe is written to;
    a device never, since that could be a whole disk.
    """
    _check_target(target, record)
    try:
        if _is_stream(target):
            with target.open("ab") as stream:
                return _write(stream.write, parts)
        # Where a link leads to, not the link itself, is put in place.
        with in_place_of(Path(os.path.realpath(target))) as file:
            return _write(file.write, parts)
    except OSError as error:
        raise Trouble(
            say("“{file}” can't be written: {cause}.").format(file=target, cause=error.strerror or error)
        ) from error


def _check_target(target: Path, record: Path | None) -> None:
    if target.is_dir():
        raise WrongUse(say("“{file}” is a folder; name a file.").format(file=target))
    if not target.is_file():
        return
    # By its place first: opening and closing a file that this process has open would drop SQLite's locks.
    is_open = record is not None and record.exists() and target.samefile(record)
    try:
        if is_open:
            raise WrongUse(say("“{file}” is a record; name another file.").format(file=target))
        with target.open("rb") as there:
            is_record = there.read(len(_RECORD_START)) == _RECORD_START
    except OSError:
        return
    if is_record:
        raise WrongUse(say("“{file}” is a record; name another file.").format(file=target))


def _is_stream(target: Path) -> bool:
    """Whether it is a pipe, or one of the names under which a system shows a stream; no device at all."""
    if not target.exists():
        return False
    mode = target.stat().st_mode
    if stat.S_ISCHR(mode) or stat.S_ISBLK(mode):
        raise WrongUse(say("“{file}” is a device; name a file.").format(file=target))
    return not stat.S_ISREG(mode) or target.absolute().parts[1:2] in (("dev",), ("proc",))


def _write(write: Callable[[bytes], object], parts: Iterable[bytes]) -> int:
    count = 0
    for part in parts:
        write(part)
        count += 1
    return count
