"""Making a record from what lies elsewhere: a copy, another computer's record, its exchange file."""

import os
from pathlib import Path

from carelog import paths
from carelog.commands import records
from carelog.commands.sealing import restore
from carelog.commands.surroundings import Surroundings
from carelog.seal.magic import is_envelope

DATABASE = b"SQLite format 3\0"


def take_up(file: Path, target: Path, around: Surroundings, code: str = "") -> None:
    """Make a record from a file, which is only read; `Trouble` when it can't be taken, and none is made.

    `code` opens an encrypted one that this computer has no key for.
    """
    if target == around.places.record:
        paths.make_private(target.parent)
    with records.source_of(file) as source:
        start = source.read(len(DATABASE))
        if start != DATABASE and not is_envelope(start):
            source.seek(0)
            records.merge(source, target, around)
            return
    restore(file, target, around, code)


def take_over(file: Path, path: Path, stamp: str, around: Surroundings) -> Path:
    """The same in place of a record, which is set aside once the other is whole; its new name."""
    from carelog.store.backup import set_aside
    from carelog.store.birth import put_in_place_of

    new = path.with_name(f".{path.name}.new-{os.urandom(6).hex()}")
    try:
        take_up(file, new, around)
        aside = set_aside(path, stamp, "before")
        put_in_place_of(new, path)
    finally:
        new.unlink(missing_ok=True)
    return aside
