"""What was typed into a form and isn't saved yet: one private file whose space is kept from the start."""

import hashlib
import json
import os
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from carelog import paths
from carelog.domain.entry import Json
from carelog.domain.moment import Instant
from carelog.domain.trouble import Trouble
from carelog.text import say

SLOT = 32 * 1024  # bytes; two of them lie in the file, written in turn


@dataclass(frozen=True, slots=True)
class Draft:
    """The forms as they stood, valid or not, and the presses that weren't saved yet."""

    record: str  # the record file's path
    forms: Sequence[Mapping[str, Json]] = ()  # as the window likes to keep them
    presses: Sequence[Mapping[str, Json]] = ()
    written_at: Instant = 0  # set by `DraftFile.write`


class DraftFile:
    """The file of the open forms.

    `open` when a form opens (reserves the space), `write` at most 2 s after a key and at each page change,
    `throw_away` once it is saved or given up, `read` at the next start. Each raises `Trouble` when the disk
    doesn't take it: then the form stays open and says so.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._turn = 0

    def open(self) -> None:
        """Reserve the space, so that a disk that fills up later still takes the draft."""
        kept = self._slots()
        if kept:
            self._turn = max(number for number, _ in kept)
            return
        try:
            self._lay_out(SLOT, b"")
        except OSError as error:
            raise _trouble(error) from error

    def write(self, draft: Draft, now: Instant) -> None:
        """Keep the form as it stands now; the one kept before stays whole until this one is."""
        self._turn += 1
        slot = _slot(self._turn, draft, now)
        try:
            size = self.path.stat().st_size // 2 if self.path.exists() else 0
            if len(slot) >= size:
                self._lay_out(max(SLOT, 1 << len(slot).bit_length()), slot)
            else:
                self._overwrite(slot, size)
        except OSError as error:
            raise _trouble(error) from error

    def read(self) -> Draft | None:
        """The newest draft that is whole, or None."""
        kept = self._slots()
        return max(kept, key=lambda each: each[0])[1] if kept else None

    def throw_away(self) -> None:
        """Remove the draft, saved or given up."""
        try:
            self.path.unlink(missing_ok=True)
        except OSError as error:
            raise _trouble(error) from error

    def _overwrite(self, slot: bytes, size: int) -> None:
        # In place, in the slot that doesn't hold the newest draft: needs no new room on the disk.
        handle = os.open(self.path, os.O_WRONLY | getattr(os, "O_BINARY", 0))
        with os.fdopen(handle, "wb") as file:
            file.seek(size * (self._turn % 2))
            file.write(slot.ljust(size - 1) + b"\n")
            file.flush()
            os.fsync(file.fileno())

    def _lay_out(self, size: int, slot: bytes) -> None:
        halves = [b" " * (size - 1) + b"\n"] * 2
        if slot:
            halves[self._turn % 2] = slot.ljust(size - 1) + b"\n"
        paths.make_private(self.path.parent)
        paths.replace_private(self.path, b"".join(halves))

    def _slots(self) -> list[tuple[int, Draft]]:
        try:
            lines = self.path.read_bytes().split(b"\n")
        except OSError:
            return []
        return [found for found in map(_of_slot, lines) if found]


def _slot(turn: int, draft: Draft, now: Instant) -> bytes:
    text = json.dumps(asdict(replace(draft, written_at=now)))
    return json.dumps({"turn": turn, "mark": _mark(text), "draft": text}).encode()


def _of_slot(line: bytes) -> tuple[int, Draft] | None:
    try:
        slot = json.loads(line)
        if _mark(slot["draft"]) != slot["mark"]:
            return None
        return int(slot["turn"]), Draft(**json.loads(slot["draft"]))
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None


def _mark(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _trouble(error: OSError) -> Trouble:
    cause = error.strerror or str(error)
    return Trouble(
        say("What you typed can't be kept on the disk ({cause}). Save it or leave the form open.").format(
            cause=cause
        )
    )
