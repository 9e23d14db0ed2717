"""Moments within a flag's words: named when a rule finds its words, told when somebody reads them.

A flag is read for days. “At 03:10” is said on that day alone; afterwards the day stands before it.
"""

import re

from carelog.analysis.times import near
from carelog.domain.moment import Home, Instant

MARK = "\N{INVISIBLE SEPARATOR}"
_NAMED = re.compile(f"{MARK}(-?[0-9]+){MARK}", re.ASCII)


def named(instant: Instant) -> str:
    """A moment within words that are still to be told."""
    return f"{MARK}{instant}{MARK}"


def unnamed(text: str) -> str:
    """What a person wrote, without anything that would be told as a moment."""
    return text.replace(MARK, "")


def read_at(words: str, home: Home, now: Instant) -> str:
    """The words as they are read at a moment: each time with its day where that isn't today's."""
    return _NAMED.sub(lambda found: near(home, int(found[1]), now), words)


def begun(sentence: str) -> str:
    """A sentence with a capital at its beginning."""
    return f"{sentence[:1].upper()}{sentence[1:]}"
