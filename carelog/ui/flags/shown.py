"""Which flags stand: in force, and those that ended by time while nobody recorded telling anyone."""

from collections.abc import Iterable, Sequence

from carelog.domain.flag import Flag, Level
from carelog.domain.moment import DAY_24_H, Instant

STAYS = 7 * DAY_24_H
BY_TIME = "time"


def in_force(flags: Iterable[Flag]) -> list[Flag]:
    """The flags in force, worst first; of a level what touches the body first, of that the newest."""
    found = [flag for flag in _once(flags) if flag.cleared_at is None]
    return sorted(found, key=lambda flag: (flag.place, -flag.raised_at))


def unheard(flags: Iterable[Flag]) -> list[Flag]:
    """Flags that ended by time and that nobody has looked at: they stay on the board until somebody does."""
    return [
        flag
        for flag in flags
        if flag.cleared_by == BY_TIME and not flag.seen and not flag.called and flag.level > Level.NOTE
    ]


def ended(flags: Iterable[Flag], now: Instant) -> list[Flag]:
    """Flags that ended within 7 days, newest first."""
    over = (flag for flag in _once(flags) if flag.cleared_at is not None)
    found = [flag for flag in over if now - (flag.cleared_at or 0) <= STAYS]
    return sorted(found, key=lambda flag: -(flag.cleared_at or 0))


def _once(flags: Iterable[Flag]) -> Iterable[Flag]:
    found = list(flags)
    if not found:
        return found
    from carelog.analysis.flags.once import said_once  # with the first flags: the board is painted before

    return said_once(found)


def on_board(flags: Sequence[Flag]) -> list[Flag]:
    """What the board shows: flags in force, then those that ended while nobody recorded telling anyone."""
    return [*in_force(flags), *unheard(flags)]
