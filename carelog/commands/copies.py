"""The newest good copy of a record that can't be read, for the page that must never be empty."""

import contextlib
from pathlib import Path

from carelog.app.backups import DOUBT, kept_in
from carelog.app.ports import Record
from carelog.domain.moment import Instant
from carelog.domain.trouble import Trouble

CHUNK = 1 << 20


def newest_copy(record: Path, folder: Path, now: Instant) -> tuple[Instant, Record] | None:
    """Up to when the newest sound copy of a record holds all, and the copy, open; None when there is none.

    The newest is the one that holds the most entries: what its name says of its date is only as right as
    the clock was. Only a copy about the same person counts: its id must stand in the record's file. Where
    that file is gone or blank, the copies must all be about one person. What a clock ahead of now wrote in
    it says nothing about how far it goes.
    """
    from carelog.store.backup import examine, held_up_to
    from carelog.store.opening import open_record

    copies = kept_in(folder)
    is_one_person = len({each.person for each in copies}) == 1
    for path in sorted((each.path for each in copies), key=_count, reverse=True):
        with contextlib.suppress(Trouble):
            examined = examine(path)
            if not examined.damage and (is_one_person or _holds(record, examined.person.id.encode())):
                return held_up_to(path, now + DOUBT), open_record(path, installation="", is_only_read=True)
    return None


def _count(copy: Path) -> int:
    """How many entries a copy seems to hold; -1 for one that can't be read."""
    from carelog.store.opening import open_record

    try:
        with contextlib.closing(open_record(copy, installation="", is_only_read=True)) as record:
            return record.count()
    except Trouble:
        return -1


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
