"""This installation's id, which begins a record's links anew on each computer."""

import os
from pathlib import Path

from carelog import paths
from carelog.domain.entry import is_uuid


def installation_id(file: Path) -> str:
    """The id kept in a file of the state folder; made at the first call.

    Where the folder takes no file, a new id each time: care is saved all the same.
    """
    found = _read(file)
    if found:
        return found
    import uuid  # which imports much, and is needed once on each computer

    made = str(uuid.UUID(bytes=os.urandom(16), version=4))
    try:
        paths.replace_private(file, made.encode())
    except OSError:
        return made
    return _read(file) or made  # another process may have been first


def _read(file: Path) -> str:
    try:
        text = paths.read_kept(file).decode("ascii").strip()
    except (OSError, ValueError):
        return ""
    return text if is_uuid(text) else ""
