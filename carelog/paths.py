"""Where a user's record, settings and log lie, and how they are kept from other users."""

import contextlib
import errno
import importlib
import os
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO, NamedTuple, cast

from platformdirs import PlatformDirs

PRIVATE_FOLDER = 0o700
PRIVATE_FILE = 0o600
MOST_KEPT = 1 << 26  # bytes; what is kept beside a record has a few thousand


class Places(NamedTuple):
    """The three folders of one user; whoever needs one is given it."""

    data: Path
    config: Path
    state: Path

    @property
    def record(self) -> Path:
        """The household's own record."""
        return self.data / "record.carelog"

    @property
    def demo(self) -> Path:
        """The made-up household's record, never the household's own."""
        return self.data / "demo.carelog"

    @property
    def backups(self) -> Path:
        """The folder of automatic backups."""
        return self.data / "backups"

    @property
    def settings(self) -> Path:
        """The settings of this user on this computer."""
        return self.config / "settings.json"

    def draft(self, record: Path) -> Path:
        """What was typed into a form about this record and isn't saved yet."""
        return self.state / "drafts" / f"{key_of(record)}.json"

    def lock(self, record: Path) -> Path:
        """The lock of the window that has this record open; never beside the record."""
        return self.state / "windows" / f"{key_of(record)}.lock"

    @property
    def installation(self) -> Path:
        """This installation's id; outside the record, so that a copied file starts links of its own."""
        return self.state / "installation"

    @property
    def keys(self) -> Path:
        """The household's key for copies that leave the house; nothing else opens them without the code."""
        return self.config / "household.key"

    @property
    def scratch(self) -> Path:
        """Files that live for a moment, such as a copy between the record and its envelope."""
        return self.state / "scratch"

    @property
    def clock(self) -> Path:
        """How far the time had come when something was written here; no word from the record."""
        return self.state / "clock.json"

    @property
    def log(self) -> Path:
        """Errors by type and place, without any value from the record."""
        return self.state / "carelog.log"

    def make(self) -> None:
        """Make the folders that are missing, open to this user alone."""
        for folder in (self.data, self.config, self.state):
            make_private(folder)


def default_places() -> Places:
    """The folders that this operating system keeps for this user's programs."""
    dirs = PlatformDirs("carelog", appauthor=False, roaming=False)
    return Places(data=dirs.user_data_path, config=dirs.user_config_path, state=dirs.user_state_path)


def make_private(folder: Path) -> None:
    """Make a folder that only this user can read; one that is already there is closed to others."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    folder.mkdir(mode=PRIVATE_FOLDER, exist_ok=True)
    _close(folder, PRIVATE_FOLDER)


def scratch_place() -> Path:
    """The private folder for files that live for a moment; made if missing."""
    folder = default_places().scratch
    make_private(folder.parent)
    make_private(folder)
    return folder


_LEFT_AFTER = 24 * 60 * 60  # seconds
_FREE = "work-"


@contextlib.contextmanager
def scratch(folder: Path | None = None) -> Iterator[Path]:
    """A folder of this user alone, which goes away with all that is in it.

    What a process that was killed left there a day ago is removed.
    """
    import shutil
    import tempfile

    folder = scratch_place() if folder is None else folder
    make_private(folder)
    with tempfile.TemporaryDirectory(prefix=_FREE, dir=folder) as made:  # 0700 from the start
        now = os.stat(made).st_mtime
        for each in folder.glob(f"{_FREE}*"):
            with contextlib.suppress(OSError):
                if now - each.lstat().st_mtime > _LEFT_AFTER:
                    shutil.rmtree(each, ignore_errors=True)
        yield Path(made)


def key_of(record: Path) -> str:
    """What stands for a record file's place in the names of other files: 16 hex digits, without a name."""
    return _sha256(os.path.realpath(record).encode("utf-8", "surrogateescape"))[:16]


def _sha256(told: bytes) -> str:
    """The digest; hashlib has OpenSSL loaded for it, which the start of the window would wait for."""
    for name in ("_sha2", "_sha256", "hashlib"):  # of Python 3.12, of 3.11, of any
        with contextlib.suppress(ImportError):
            return str(importlib.import_module(name).sha256(told).hexdigest())
    raise ImportError("hashlib")


def touch_private(file: Path) -> None:
    """Make an empty file that only this user can read, before anything is written to it."""
    open_private(file, "ab").close()


def open_private(file: Path, mode: str, buffering: int = -1) -> BinaryIO:
    """Open a file of this user alone, in a mode with “b”; made if missing.

    A link isn't followed (`OSError`), and neither is anything else than a file opened: who can write to a
    stick could else let it lead to any file of this user.
    """
    flags = {"r+b": os.O_RDWR, "wb": os.O_WRONLY, "ab": os.O_WRONLY | os.O_APPEND}[mode] | os.O_CREAT
    more = (getattr(os, name, 0) for name in ("O_NOFOLLOW", "O_NONBLOCK", "O_BINARY", "O_CLOEXEC"))
    handle = os.open(file, flags | sum(more), PRIVATE_FILE)
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise OSError(errno.EINVAL, os.strerror(errno.EINVAL), str(file))
        if os.name == "posix":
            with _no_rights_kept():
                os.fchmod(handle, PRIVATE_FILE)
        if mode == "wb":
            os.ftruncate(handle, 0)
        return cast(BinaryIO, os.fdopen(handle, mode, buffering))
    except BaseException:
        os.close(handle)
        raise


def read_kept(file: Path, *, most: int = MOST_KEPT, is_followed: bool = False) -> bytes:
    """What a file of the program holds; `OSError` for a pipe, a device, one that is too long, or a link.

    Whoever waits at a pipe waits for ever, and a device may give bytes without end.
    """
    names = ("O_NONBLOCK", "O_BINARY", "O_CLOEXEC", *(() if is_followed else ("O_NOFOLLOW",)))
    handle = os.open(file, os.O_RDONLY | sum(getattr(os, name, 0) for name in names))
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise OSError(errno.EINVAL, os.strerror(errno.EINVAL), str(file))
        with os.fdopen(handle, "rb", closefd=False) as opened:
            content = opened.read(most + 1)
    finally:
        os.close(handle)
    if len(content) > most:
        raise OSError(errno.EFBIG, os.strerror(errno.EFBIG), str(file))
    return content


def _close(path: Path, mode: int) -> None:
    """Close a file or folder to other users; most sticks keep no such rights, and then nothing is lost."""
    if os.name == "posix":
        with _no_rights_kept():
            path.chmod(mode)


@contextlib.contextmanager
def _no_rights_kept() -> Iterator[None]:
    """A file system without rights of its own says so in one of these ways, and is used all the same."""
    try:
        yield
    except OSError as error:
        if error.errno not in (errno.EPERM, errno.EACCES, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP):
            raise


def replace_private(file: Path, content: bytes) -> None:
    """Put new content in a private file's place: after a power cut it is whole, the old or the new.

    A folder that is missing is made private; one that is there is left as it is.
    """
    if not file.parent.is_dir():
        make_private(file.parent)
    with in_place_of(file) as new:
        new.write(content)


@contextlib.contextmanager
def in_place_of(file: Path) -> Iterator[BinaryIO]:
    """A private file to write to, which takes this one's place, whole and synced, if nothing fails."""
    import tempfile

    handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")  # 0600 from the start
    try:
        with os.fdopen(handle, "wb") as new:
            yield new
            new.flush()
            os.fsync(new.fileno())
        os.replace(name, file)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
