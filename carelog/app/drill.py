"""The monthly restore drill: the newest copy is brought back into a private folder, checked, thrown away."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from carelog import paths
from carelog.app.backups import Kept
from carelog.domain.moment import DAY_24_H, Home, Instant
from carelog.domain.trouble import Trouble
from carelog.text import say, say_n

EVERY = 30 * DAY_24_H

Restore = Callable[[Path, Path], int]
"""Bring a record back from the copy at the first path to the second; how many entries; else `Trouble`."""


@dataclass(frozen=True, slots=True)
class Drilled:
    """How a drill went, in one line, and when it was."""

    at: Instant
    is_good: bool
    words: str


def is_due(last: Instant, now: Instant) -> bool:
    """Whether a month has passed since the last drill (0: none yet), or the clock went back before it."""
    return not 0 <= now - last < EVERY


def drill(copy: Kept, restore: Restore, home: Home, now: Instant) -> Drilled:
    """Try to come back from a copy; nothing of it stays, and the record isn't touched."""
    made = f"{home.local(copy.made_at):%Y-%m-%d %H:%M}"
    try:
        with paths.scratch() as folder:
            count = restore(copy.path, folder / "drill.carelog")
    except Trouble as error:
        words = say("Coming back from the copy of {time} was tried and failed. {cause}")
        return Drilled(now, False, words.format(time=made, cause=error.sentence))
    except OSError as error:
        words = say("Coming back from the copy of {time} couldn't be tried: {cause}.")
        return Drilled(now, False, words.format(time=made, cause=error.strerror))
    words = say_n(
        "Coming back from the copy of {time} was tried: its one entry is readable.",
        "Coming back from the copy of {time} was tried: all its {count} entries are readable.",
        count,
    )
    return Drilled(now, True, words.format(time=made, count=count))
