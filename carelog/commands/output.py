"""Files that a command writes: whole or not at all, and never over a record."""

import os
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path

from carelog.domain.trouble import Trouble, WrongUse
from carelog.text import say

_RECORD_START = b"SQLite format 3\0"


def write_file(target: Path, parts: Iterable[bytes], record: Path | None = None) -> int:
    """Write the parts to a private file and return how many there were; `Trouble` if it fails."""
    _check_target(target, record)
    try:
        if target.exists() and not target.is_file():
            with target.open("wb") as stream:  # a pipe or a device
                return _write(stream.write, parts)
        return _replace(target, parts)
    except OSError as error:
        raise Trouble(
            say("“{file}” can't be written: {cause}.").format(file=target, cause=error.strerror or error)
        ) from error


def _check_target(target: Path, record: Path | None) -> None:
    if target.is_dir():
        raise WrongUse(say("“{file}” is a folder; name a file.").format(file=target))
    try:
        with target.open("rb") as there:
            is_record = target.is_file() and there.read(len(_RECORD_START)) == _RECORD_START
    except OSError:
        return
    if is_record or (record is not None and record.exists() and target.samefile(record)):
        raise WrongUse(say("“{file}” is a record; name another file.").format(file=target))


def _replace(target: Path, parts: Iterable[bytes]) -> int:
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            count = _write(file.write, parts)
            file.flush()
            os.fsync(file.fileno())
        os.replace(name, target)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return count


def _write(write: Callable[[bytes], object], parts: Iterable[bytes]) -> int:
    count = 0
    for part in parts:
        write(part)
        count += 1
    return count
