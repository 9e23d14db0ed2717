"""Power cuts: a disk that forgets what wasn't synced, tears what was being written, and keeps the rest.

A VFS passes every call to the real disk and writes it down. A cut is chosen afterwards, anywhere between two
calls: each file is what was synced last, and of what came later any part may be there, in pieces of a sector,
with what lay in new places before as good as random.
"""

import random
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import apsw

from tests.faults.driver import Connection

SECTOR = 512

Call = tuple[Any, ...]


class Watched(apsw.VFS):
    """A VFS that writes down what changes the disk."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.calls: list[Call] = []
        super().__init__(name, "")

    def connect(self, uri: str) -> Connection:
        """A connection through this VFS, for the store."""
        return Connection(uri, self.name)

    def acknowledge(self, *ids: str) -> None:
        """From here on somebody was told that these entries are saved."""
        self.calls.append(("acknowledge", ids))

    def xOpen(self, name: Any, flags: list[int]) -> "WatchedFile":
        return WatchedFile(self, name, flags)

    def xDelete(self, filename: str, syncdir: bool) -> None:
        super().xDelete(filename, syncdir)
        self.calls.append(("delete", filename, syncdir))


class WatchedFile(apsw.VFSFile):
    """A file whose changes are written down."""

    def __init__(self, vfs: Watched, name: Any, flags: list[int]) -> None:
        self._vfs = vfs
        self._name = name.filename() if isinstance(name, apsw.URIFilename) else name
        super().__init__("", name, flags)

    def xWrite(self, data: bytes, offset: int) -> None:
        super().xWrite(data, offset)
        self._note("write", offset, bytes(data))

    def xTruncate(self, newsize: int) -> None:
        super().xTruncate(newsize)
        self._note("truncate", newsize)

    def xSync(self, flags: int) -> None:
        super().xSync(flags)
        self._note("sync")

    def _note(self, what: str, *more: object) -> None:
        if self._name is not None:
            self._vfs.calls.append((what, self._name, *more))


@dataclass(slots=True)
class Kept:
    """What the disk holds of a file for certain, and what came since it was synced."""

    content: bytearray | None = None
    since: list[Call] = field(default_factory=list)
    is_gone: bool = False

    def sync(self) -> None:
        """Everything so far is on the disk."""
        content = self.content or bytearray()
        for call in self.since:
            _apply(content, call)
        self.content, self.since = content, []

    def after_a_cut(self, rng: random.Random) -> bytes | None:
        """What is found when the power is back; None: no such file."""
        if self.is_gone and rng.random() < 0.5:
            return None
        if self.content is None and rng.random() < 0.3:
            return None
        content = bytearray(self.content or b"")
        fate = rng.choice(("all", "none", "some", "some", "torn", "torn"))
        for number, call in enumerate(self.since):
            if fate == "all" or (fate == "some" and rng.random() < 0.5):
                _apply(content, call)
            elif fate == "torn" and (rng.random() < 0.5 or number == len(self.since) - 1):
                _apply(content, call, rng)
        return bytes(content)


def _apply(content: bytearray, call: Call, rng: random.Random | None = None) -> None:
    """Do what a call did to a file; with `rng`, only some sectors of it."""
    if call[0] == "truncate":
        del content[call[2] :]
        content.extend(bytes(call[2] - len(content)))
        return
    _, _, offset, data = call
    end = offset + len(data)
    if end > len(content):
        grown = end - len(content)
        content.extend(rng.randbytes(grown) if rng else bytes(grown))
    for start in range(0, len(data), SECTOR):
        if rng is None or rng.random() < 0.5:
            content[offset + start : min(offset + start + SECTOR, end)] = data[start : start + SECTOR]


class Disk:
    """The files as they were before the first call, and every call since."""

    def __init__(self, files: Iterable[Path], calls: list[Call]) -> None:
        self.before = {str(path): path.read_bytes() for path in files if path.exists()}
        self.calls = calls

    def cut(self, at: int, rng: random.Random) -> tuple[dict[str, bytes], list[tuple[str, ...]]]:
        """What the disk holds after the power went before call number `at`, and what was acknowledged."""
        kept = {name: Kept(bytearray(content)) for name, content in self.before.items()}
        told: list[tuple[str, ...]] = []
        for call in self.calls[:at]:
            if call[0] == "acknowledge":
                told.append(call[1])
            else:
                _follow(kept, call)
        found = {name: each.after_a_cut(rng) for name, each in kept.items()}
        return {name: content for name, content in found.items() if content is not None}, told


def _follow(kept: dict[str, Kept], call: Call) -> None:
    what, name = call[0], call[1]
    file = kept.setdefault(name, Kept())
    if what == "delete":
        if call[2]:
            del kept[name]
        else:
            file.is_gone = True
        return
    if file.is_gone:
        # A new file of the same name: the disk did the older change of the folder before.
        file = kept[name] = Kept()
    if what == "sync":
        file.sync()
    else:
        file.since.append(call)
