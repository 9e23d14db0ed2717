"""The second medium: a stick or disk that the household chose once, known by a file on it."""

import os
import uuid
from collections.abc import Iterable, Mapping
from pathlib import Path

from carelog.domain.entry import is_uuid
from carelog.domain.trouble import Trouble
from carelog.paths import in_place_of, read_kept
from carelog.text import say

NAME = "carelog-medium"
FOLDER = "carelog-copies"
SYSTEM = Path("/sys/dev/block")


def choose(root: Path) -> str:
    """Make this folder the second medium; its id is for the settings. `Trouble` if it takes no file."""
    found = identity_of(root)
    if found:
        return found
    made = str(uuid.UUID(bytes=os.urandom(16), version=4))
    try:
        # Another file takes the place of what bears the name: a link there isn't followed.
        with in_place_of(root / NAME) as file:
            file.write(f"{made}\n".encode())
    except OSError as error:
        raise Trouble(
            say("“{folder}” can't be written to ({cause}). Choose another.").format(
                folder=root, cause=error.strerror
            )
        ) from error
    return made


def copies_on(root: Path) -> Path:
    """The folder for copies on a medium; `Trouble` when it is a link, which could lead anywhere."""
    folder = root / FOLDER
    if not root.is_dir():
        raise Trouble(say("“{folder}” isn't there any more.").format(folder=root))
    if folder.is_symlink():
        raise Trouble(say("“{folder}” is a link. Copies go into a real folder only.").format(folder=folder))
    return folder


def is_outside(root: Path, record: Path) -> bool | None:
    """Whether a medium is another disk than the record's, which can be carried away; None: can't be told.

    Told by device numbers, and on Linux by what the kernel says of the disk behind them.
    """
    try:
        here, there = _device(record), _device(root)
    except OSError:
        return None
    if here == there:
        return False
    disks = _disk_of(here), _disk_of(there)
    if None in disks:
        return None
    if disks[0] == disks[1]:
        return False
    return True if disks[1] is not None and _is_carried(disks[1]) else None


def _device(path: Path) -> int:
    return os.stat(path).st_dev


def _disk_of(device: int) -> Path | None:
    """The whole disk that a device number belongs to (Linux: /sys/dev/block); None where nobody says."""
    if not hasattr(os, "major"):
        return None
    found = SYSTEM / f"{os.major(device)}:{os.minor(device)}"
    if not found.exists():
        return None
    disk = found.resolve()
    return disk.parent if (disk / "partition").exists() else disk


def _is_carried(disk: Path) -> bool:
    """Whether a disk can be taken out, or hangs on a USB port."""
    try:
        is_removable = (disk / "removable").read_text(encoding="ascii").strip() == "1"
    except (OSError, ValueError):
        is_removable = False
    return is_removable or any(part.startswith("usb") for part in disk.parts)


def identity_of(root: Path) -> str:
    """The id on a medium; empty for one that was never chosen."""
    try:
        text = read_kept(root / NAME).decode("ascii").strip()
    except (OSError, ValueError):
        return ""
    return text if is_uuid(text) else ""


def find(identity: str, roots: Iterable[Path]) -> Path | None:
    """Where the chosen medium is plugged in now, or None: never any other that happens to be there."""
    return next((root for root in roots if identity and identity_of(root) == identity), None)


def mounted(environment: Mapping[str, str], platform: str) -> list[Path]:
    """Where this system shows sticks and disks."""
    if platform == "win32":
        return [Path(f"{letter}:\\") for letter in "DEFGHIJKLMNOPQRSTUVWXYZ"]
    user = environment.get("USER", "")
    above = [Path("/Volumes"), Path("/mnt"), Path("/media"), Path("/media") / user, Path("/run/media") / user]
    return sorted({each for folder in above for each in _inside(folder)})


def _inside(folder: Path) -> list[Path]:
    try:
        return [each for each in folder.iterdir() if each.is_dir()]
    except OSError:
        return []
