"""The monthly restore drill: the newest copy is brought back into a private folder, checked, thrown away."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from carelog import paths
from carelog.analysis.times import clock, full_day
from carelog.app.backups import Kept
from carelog.domain.moment import DAY_24_H, Home, Instant
from carelog.domain.trouble import Trouble
from carelog.text import say, say_n

EVERY = 30 * DAY_24_H
EVERY_OLDEST = 91 * DAY_24_H  # a quarter of a year

Restore = Callable[[Path, Path], int]
"""Bring a record back from the copy at the first path to the second; how many entries; else `Trouble`."""


@dataclass(frozen=True, slots=True)
class Drilled:
    """How a drill went, in one line, and when it was."""

    at: Instant
    is_good: bool
    words: str


@dataclass(frozen=True, slots=True)
class Tried:
    """What a copy would bring back: how many entries, up to when (0: none), and how many it lacks."""

    count: int
    up_to: Instant
    lacks: int


def tried_words(copy: Kept, tried: Tried, home: Home) -> str:
    """What coming back from a copy would bring, and what it would lose."""
    made = f"{home.local(copy.made_at):%Y-%m-%d %H:%M}"
    brings = say_n(
        "The copy of {time} would bring back one entry, up to {when}.",
        "The copy of {time} would bring back {count} entries, up to {when}.",
        tried.count,
    )
    when = f"{home.local(tried.up_to):%Y-%m-%d %H:%M}" if tried.up_to else say("no time")
    loses = say_n(
        "One entry of the record would be lost.", "{count} entries of the record would be lost.", tried.lacks
    )
    if not tried.lacks:
        loses = say("No entry of the record would be lost.")
    brings = brings.format(time=made, when=when, count=tried.count)
    return f"{brings} {loses.format(count=tried.lacks)}"


def is_due(last: Instant, now: Instant, every: Instant = EVERY) -> bool:
    """Whether the time has passed since the last drill (0: none yet), or the clock went back before it."""
    return not 0 <= now - last < every


def drill(copy: Kept, restore: Restore, home: Home, now: Instant) -> Drilled:
    """Try to come back from a copy; nothing of it stays, and the record isn't touched."""
    made = f"{full_day(home.day(copy.made_at))}, {clock(home, copy.made_at)}"
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
