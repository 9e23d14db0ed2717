"""The newest good copy of a record that can't be read, for the page that must never be empty."""

import contextlib
from pathlib import Path

from carelog.app.backups import kept_in
from carelog.app.ports import Record
from carelog.domain.moment import Instant
from carelog.domain.trouble import Trouble

CHUNK = 1 << 20


def newest_copy(record: Path, folder: Path) -> tuple[Instant, Record] | None:
    """When the newest sound copy of a record was made, and the copy, open; None when there is none.

    Only a copy about the same person counts: its id must stand in the record's file. Where that file is gone
    or blank, the copies must all be about one person.
    """
    from carelog.store.backup import examine
    from carelog.store.opening import open_record

    copies = kept_in(folder)
    is_one_person = len({each.path.name[:8] for each in copies}) == 1
    for each in copies:
        with contextlib.suppress(Trouble):
            examined = examine(each.path)
            if not examined.damage and (is_one_person or _holds(record, examined.person.id.encode())):
                return each.made_at, open_record(each.path, installation="")
    return None


def _holds(file: Path, wanted: bytes) -> bool:
    """Whether bytes stand anywhere in a file."""
    try:
        with file.open("rb") as stream:
            tail = b""
            while piece := stream.read(CHUNK):
                if wanted in tail + piece:
                    return True
                tail = piece[-len(wanted) :]
    except OSError:
        return False
    return False
