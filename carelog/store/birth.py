"""A new file comes into its place whole or not at all, and never over another."""

import contextlib
import errno
import os
import re
from collections.abc import Callable
from pathlib import Path

from carelog.paths import touch_private
from carelog.store.journal import alone_in, set_aside

_LEFT = re.compile(r"\..+\.new-[0-9a-f]{12}(-journal)?")
# What a file system answers that has no hard links (EPERM: Linux on FAT).
_NO_LINKS = (errno.EPERM, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EMLINK)
# What a file system answers that knows no such thing as waiting for a folder.
_CAN_NOT = (errno.EINVAL, errno.ENOSYS, errno.ENOTSUP)
_A_DAY = 24 * 60 * 60  # seconds


def placed(path: Path, make: Callable[[Path], None]) -> None:
    """Let `make` write a file beside `path`, then give it that name; `FileExistsError` when it is taken."""
    new = path.with_name(f".{path.name}.new-{os.urandom(6).hex()}")
    try:
        touch_private(new)
        _sweep(new)
        make(new)
        sync(new)
        _name(new, path)
    finally:
        for each in (new, new.with_name(f"{new.name}-journal")):
            with contextlib.suppress(FileNotFoundError):
                each.unlink()
    sync_folder(path.parent)


def _sweep(new: Path) -> None:
    """Remove what processes left that were ended more than a day ago in the middle of this."""
    with contextlib.suppress(OSError):
        now = new.stat().st_mtime
        for each in new.parent.iterdir():
            if _LEFT.fullmatch(each.name) and now - each.stat().st_mtime > _A_DAY:
                each.unlink()


def _name(new: Path, path: Path) -> None:
    with alone_in(path.parent):
        if os.path.lexists(path):
            raise FileExistsError(path)
        set_aside(path)
        try:
            os.link(new, path)
        except OSError as error:
            if error.errno not in _NO_LINKS:
                raise
            # A disk without hard links (most sticks): Windows' rename never overwrites, others looked first.
            new.rename(path)


def put_in_place_of(new: Path, path: Path) -> None:
    """Give a finished record the name of one that nobody needs any more, or that isn't there."""
    with alone_in(path.parent):
        set_aside(path)
        os.replace(new, path)
    sync_folder(path.parent)


def sync(file: Path) -> None:
    """Wait until the file's content is on the disk."""
    handle = os.open(file, os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_folder(folder: Path) -> None:
    """Wait until the folder's names are on the disk, where the system lets a folder be opened."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in _CAN_NOT:
            raise
    finally:
        os.close(handle)
