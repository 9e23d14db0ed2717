"""A line of the table of the long fault tests, and how much of each count is asked for."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the table: which figure, what was done, what came of it, whether that is asked for."""

    figure: str
    what: str
    found: str
    holds: bool | None


Row = Callable[[float], Iterator[Line]]


def share(count: int, part: float, least: int = 1) -> int:
    """So much of a count, at least so many."""
    return max(least, round(count * part))
