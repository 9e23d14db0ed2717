"""Where a record lies, as far as that matters: on a network share, or in a folder that a program syncs."""

import errno
import os
from collections.abc import Iterable
from pathlib import Path

from carelog.text import mark, say

MOUNTS = Path("/proc/self/mounts")

# Names of file systems that lie on another computer (Linux: mount(8) and the kernel's file systems).
_OVER_THE_NETWORK = frozenset(
    ("nfs", "nfs4", "cifs", "smb3", "smbfs", "afs", "ceph", "9p", "ncpfs", "webdav", "davfs", "afpfs")
) | {"fuse.sshfs", "fuse.davfs2", "fuse.rclone", "fuse.gvfsd-fuse", "fuse.glusterfs", "virtiofs"}

# Parts of folder names that programs for keeping folders alike give them; common practice, no source.
_SYNCED = (
    *("dropbox", "onedrive", "nextcloud", "owncloud", "google drive", "googledrive", "icloud", "syncthing"),
    *("mobile documents", "com~apple~clouddocs", "pcloud", "megasync", "seafile"),
)

# What a file system answers that knows no locks, or whose server for them doesn't run (fcntl(2)).
_NO_LOCKS = (errno.ENOLCK, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EINVAL)
_BEHIND_ALL = 1 << 48  # bytes; SQLite's own locks begin at 1 GiB, and no record is as long

SHARE = mark(
    "This record lies on another computer in the network. Two computers that write at once can damage it. "
    "Keep the record on this computer."
)
SYNCED = mark(
    "This record lies in a folder that a program keeps the same on several computers. That program can put "
    "an old file over a new one. Keep the record outside that folder."
)


def warning(record: Path, mounts: Path = MOUNTS) -> str:
    """The sentence for a place where a record isn't safe; empty for any other."""
    real = Path(os.path.realpath(record))
    if _is_over_the_network(real, mounts):
        return say(SHARE)
    return say(SYNCED) if _is_synced(real.parent) else ""


def knows_locks(record: Path) -> bool:
    """Whether the file system locks parts of files, asked of a record that this process hasn't open.

    Closing the file again drops every lock that this process has on it.
    """
    if os.name != "posix":
        return True
    import fcntl

    try:
        with record.open("rb") as file:
            fcntl.lockf(file, fcntl.LOCK_SH | fcntl.LOCK_NB, 1, _BEHIND_ALL)
    except OSError as error:
        return error.errno not in _NO_LOCKS
    return True


def _is_over_the_network(file: Path, mounts: Path) -> bool:
    if str(file).startswith(("\\\\", "//")):
        return True
    try:
        lines = mounts.read_text(encoding="utf-8", errors="surrogateescape").splitlines()
    except OSError:
        return False
    here = _mounted_at(file, (line.split(" ") for line in lines))
    return here in _OVER_THE_NETWORK


def _mounted_at(file: Path, lines: Iterable[list[str]]) -> str:
    """The kind of file system on which a file lies: that of the longest mount point above it."""
    found, longest = "", -1
    for parts in lines:
        if len(parts) < 3:
            continue
        # The kernel writes spaces and the like as \\040 (proc(5)).
        point = Path(parts[1].encode("utf-8", "surrogateescape").decode("unicode_escape"))
        if file.is_relative_to(point) and len(point.parts) >= longest:
            found, longest = parts[2], len(point.parts)
    return found


def _is_synced(folder: Path) -> bool:
    names = [part.lower() for part in folder.parts]
    if any(word in name for name in names for word in _SYNCED):
        return True
    return any((above / ".stfolder").exists() for above in (folder, *folder.parents))
