"""One round of copies: on this computer and on the second medium, each by itself, and what came of each."""

import contextlib
import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from carelog.app.backups import Backups, Kept
from carelog.app.medium import identity_of, is_outside
from carelog.domain.moment import Instant
from carelog.domain.trouble import Trouble
from carelog.text import mark, say

Holds = Callable[[Path, Instant], Instant]
"""Up to when what a copy holds was recorded, ahead of now left out (0: none); `Trouble` if unreadable."""

TAKEN_AWAY = mark(
    "The second medium was taken away while a copy was being made. The copies before it are as they were."
)
YES, NO, UNKNOWN = "yes", "no", "unknown"


@dataclass(frozen=True, slots=True)
class Medium:
    """The second medium, plugged in, and this record's copies on it."""

    root: Path
    identity: str
    copies: Backups


@dataclass(frozen=True, slots=True)
class CopyRound:
    """The newest copy here and what the newest holds, here and on the medium (0: none), and what failed."""

    here: Kept | None
    here_up_to: Instant
    outside_up_to: Instant
    outside: str
    troubles: tuple[str, ...]


def copy_round(
    here: Backups, medium: Medium | None, record: Path, holds: Holds, is_forced: bool
) -> CopyRound:
    """Make the copies that are due, or all; one that fails keeps no other from being made."""
    troubles: list[str] = []

    def made(copies: Backups, make: Callable[[], Kept]) -> tuple[Kept | None, Instant]:
        try:
            newest = make() if is_forced or copies.is_due() else copies.newest()
            return newest, holds(newest.path, copies.latest()) if newest else 0
        except Trouble as trouble:
            troubles.append(trouble.sentence)
            return copies.newest(), 0

    newest, up_to = made(here, here.make)
    if medium is None:
        return CopyRound(newest, up_to, 0, "", tuple(troubles))
    there = medium
    _, outside_up_to = made(there.copies, lambda: _on_medium(there))
    outside = {True: YES, False: NO, None: UNKNOWN}[is_outside(medium.root, record)]
    return CopyRound(newest, up_to, outside_up_to, outside, tuple(dict.fromkeys(troubles)))


def _on_medium(medium: Medium) -> Kept:
    place = _place_of(medium.root)
    if identity_of(medium.root) != medium.identity:  # taken away since it was found
        raise Trouble(say(TAKEN_AWAY))
    try:
        found = medium.copies.make()
    except Trouble as trouble:
        if identity_of(medium.root) == medium.identity:
            raise
        raise Trouble(say(TAKEN_AWAY)) from trouble
    if identity_of(medium.root) != medium.identity:
        if _place_of(medium.root) != place:
            _take_back(found.path)
        raise Trouble(say(TAKEN_AWAY))
    return found


def _place_of(root: Path) -> tuple[int, int] | None:
    """Which folder lies at a path: once a stick is gone, what it was mounted on lies there."""
    try:
        found = os.stat(root)
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _take_back(copy: Path) -> None:
    """A copy that was written into the empty place of a stick is none, and nobody named that place."""
    with contextlib.suppress(OSError):
        copy.unlink()
        copy.parent.rmdir()
