"""Making a record from what lies elsewhere: a copy, another computer's record, its exchange file."""

import os
from pathlib import Path

from carelog import paths
from carelog.commands import records
from carelog.commands.sealing import contents, given_with
from carelog.commands.surroundings import Surroundings
from carelog.seal.magic import is_sealed
from carelog.store.backup import restore

DATABASE = b"SQLite format 3\0"


def take_up(file: Path, target: Path, around: Surroundings, typed: str = "") -> None:
    """Make a record from a file, which is only read; `Trouble` when it can't be taken, and none is made.

    `typed` opens an encrypted one that this computer has no key for: its code or passphrase.
    """
    if target == around.places.record:
        paths.make_private(target.parent)
    with given_with(file, around, typed) as found:
        with records.source_of(found) as source:
            is_record = source.read(len(DATABASE)) == DATABASE
            if not is_record:
                source.seek(0)
                records.merge(source, target, around)
        if is_record:
            restore(found, target)


def contents_of(file: Path, around: Surroundings, typed: str) -> str:
    """Whose record lies in an encrypted file, how many entries, and up to when; empty for any other file.

    It is taken up into a private folder that goes away, so what is told is what would be there.
    """
    if not is_sealed(file):
        return ""
    with paths.scratch() as folder:
        tried = folder / "tried.carelog"
        take_up(file, tried, around, typed)
        return contents(tried, file.name)


def take_over(file: Path, path: Path, stamp: str, around: Surroundings, typed: str = "") -> Path:
    """The same in place of a record, which is set aside once the other is whole; its new name."""
    from carelog.store.backup import set_aside
    from carelog.store.birth import put_in_place_of

    new = path.with_name(f".{path.name}.new-{os.urandom(6).hex()}")
    try:
        take_up(file, new, around, typed)
        aside = set_aside(path, stamp, "before")
        put_in_place_of(new, path)
    finally:
        new.unlink(missing_ok=True)
    return aside
