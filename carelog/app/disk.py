"""Whether the disk beneath a folder is encrypted, as far as the system tells without being asked as root."""

import os
from pathlib import Path

SYSTEM = Path("/sys/dev/block")
DEEPEST = 8  # layers of devices, such as a volume in an encrypted partition


def is_encrypted(folder: Path, system: Path = SYSTEM, device: int | None = None) -> bool | None:
    """Whether everything beneath a folder is encrypted (Linux: dm-crypt); None where nobody tells.

    `device` is the folder's own unless a test gives another. A network, a file system over several devices
    and other systems than Linux tell nothing.
    """
    if not hasattr(os, "major"):
        return None
    try:
        number = os.stat(folder).st_dev if device is None else device
        place = system / f"{os.major(number)}:{os.minor(number)}"
        return _is_encrypted(place.resolve(), DEEPEST) if place.exists() else None
    except OSError:
        return None


def _is_encrypted(device: Path, depth: int) -> bool | None:
    """Whether a device is a dm-crypt one, or all beneath it are (the kernel's sysfs: dm/uuid, slaves)."""
    kind = device / "dm" / "uuid"
    if kind.is_file() and kind.read_text(encoding="ascii", errors="replace").startswith("CRYPT-"):
        return True
    slaves = device / "slaves"
    beneath = [each.resolve() for each in slaves.iterdir()] if slaves.is_dir() else []
    if not beneath:
        return False
    found = [_is_encrypted(each, depth - 1) for each in beneath] if depth else [None]
    if all(found):
        return True
    return None if None in found else False
