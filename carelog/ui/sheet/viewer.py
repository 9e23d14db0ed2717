"""The system's own viewer, given a file in a private folder that is emptied at start and end."""

import shutil
from pathlib import Path

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices

from carelog import paths

FOLDER = "viewer"


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
    """Remove what was shown."""
    shutil.rmtree(state / FOLDER, ignore_errors=True)
