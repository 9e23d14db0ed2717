"""The flags that a sheet shows."""

from dataclasses import dataclass

from carelog.domain.flag import Flag


@dataclass(frozen=True, slots=True)
class Flagged:
    """The flags of a period as at its end, and those raised later by an entry about it."""

    within: tuple[Flag, ...]
    later: tuple[Flag, ...] = ()
