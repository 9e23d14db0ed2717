"""The system's own viewer, given a file in a private folder.

At each start and end what was shown more than a day ago is removed; what a viewer may still have open stays.
"""

import contextlib
import time
from pathlib import Path

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices

from carelog import paths

FOLDER = "viewer"
A_DAY = 24 * 60 * 60  # seconds


def show(pdf: bytes, name: str, state: Path) -> bool:
    """Open the bytes in the system's viewer; False when there is none. `OSError` when the disk refuses."""
    folder = state / FOLDER
    paths.make_private(state)
    paths.make_private(folder)
    file = folder / name
    with paths.open_private(file, "wb") as stream:
        stream.write(pdf)
    return QDesktopServices.openUrl(QUrl.fromLocalFile(str(file)))


def empty(state: Path) -> None:
    """Remove what was shown more than a day ago."""
    with contextlib.suppress(OSError):
        for file in (state / FOLDER).iterdir():
            if time.time() - file.lstat().st_mtime > A_DAY:
                file.unlink()
