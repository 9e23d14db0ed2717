"""Copies in envelopes: made from a copy that was read back, read back themselves, and opened in private."""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from carelog import paths
from carelog.domain.trouble import Refused, Trouble
from carelog.seal.envelope import (
    BY_PASSPHRASE,
    FILE,
    RECORD,
    Household,
    Means,
    open_header,
    read_header,
    seal,
    unseal,
)
from carelog.seal.magic import Opener, is_sealed
from carelog.store.backup import BAD_COPY, TAKEN, back_up, forget_cached, told_apart
from carelog.store.birth import placed, sync
from carelog.store.errors import plain
from carelog.text import mark, say

NO_RECORD = mark("“{name}” holds an export, and no copy of a record. Take it in with carelog import.")
_AT_ONCE = 1 << 20


@dataclass(frozen=True, slots=True)
class Unsealed:
    """A file to read, and a household's key that its envelope brought along."""

    path: Path
    learnt: Household | None = None


def seal_copy(record: Path, target: Path, by: Household) -> int:
    """Make an encrypted copy of a record; how many entries it holds. Else `Trouble`, and none is left.

    The plain copy in between lies in the program's own private folder, and goes away.
    """
    with plain(target), paths.scratch() as folder:
        between = folder / "copy.carelog"
        count = back_up(record, between)
        with told_apart(target, lambda: True), plain(target):
            try:
                placed(target, lambda new: _sealed(between, new, target.name, by))
            except FileExistsError:
                raise Refused(say(TAKEN).format(name=target.name)) from None
        return count


def _sealed(source: Path, new: Path, name: str, by: Household) -> None:
    with source.open("rb") as plain_copy, new.open("wb") as file:
        for piece in seal(plain_copy, source.stat().st_size, by, RECORD):
            file.write(piece)
    sync(new)
    forget_cached(new)
    try:
        with new.open("rb") as file:
            opened = open_header(file, name, Means((by,)))
            back = hashlib.sha256()
            for piece in unseal(file, name, opened):
                back.update(piece)
    except Refused as error:
        raise Trouble(say(BAD_COPY).format(name=name)) from error
    if back.digest() != _digest(source):
        raise Trouble(say(BAD_COPY).format(name=name))


@contextmanager
def unsealed(file: Path, means: Means, content: int = RECORD) -> Iterator[Unsealed]:
    """A file as it is, or what lies in its envelope, in a private folder that goes away afterwards.

    `Refused` when the envelope can't be opened, is spoiled or holds something else: nothing of it is left.
    """
    with plain(file):
        if not is_sealed(file):
            yield Unsealed(file)
            return
    with plain(file), file.open("rb") as source, _taken_out(source, file.name, means, content) as found:
        yield found


@contextmanager
def _taken_out(source: BinaryIO, name: str, means: Means, content: int) -> Iterator[Unsealed]:
    opened = open_header(source, name, means)
    if content == RECORD and opened.header.content == FILE:
        raise Refused(say(NO_RECORD).format(name=name))
    with paths.scratch() as folder:
        target = folder / name
        with target.open("wb") as file:
            for piece in unseal(source, name, opened):
                file.write(piece)
        source.close()
        yield Unsealed(target, opened.learnt)


def asks_for(file: Path, means: Means) -> Opener | None:
    """What else has to be typed to open an envelope; None when nothing has to, or it isn't one at all.

    `Refused` for one that nothing opens: it is spoiled, cut, or of a newer version.
    """
    with plain(file):
        if not is_sealed(file):
            return None
    with plain(file), file.open("rb") as source:
        header = read_header(source, file.name)
        source.seek(0)
        try:
            open_header(source, file.name, means)
        except Refused:
            return Opener.PASSPHRASE if BY_PASSPHRASE in dict(header.wraps) else Opener.CODE
        return None


def _digest(file: Path) -> bytes:
    found = hashlib.sha256()
    with file.open("rb") as source:
        while piece := source.read(_AT_ONCE):
            found.update(piece)
    return found.digest()
