"""When a household stopped writing: its silence is said first, and what got overdue in it stands as one."""

from collections.abc import Iterable
from dataclasses import dataclass

from carelog.domain.flag import Flag
from carelog.domain.moment import Instant

SILENT, OVERDUE = "nothing_recorded", "overdue"


@dataclass(frozen=True, slots=True)
class Sorted:
    """The flag that nothing was recorded, if it stands; what got overdue since; all the others."""

    silence: Flag | None
    since: tuple[Flag, ...]
    others: tuple[Flag, ...]


def by_silence(flags: Iterable[Flag], last: Instant | None) -> Sorted:
    """Take the flags that a silence brings out of the others; `last`: when an entry became known last.

    Only what stands still, and what nobody looked at: a flag that somebody saw says so by itself.
    """
    found = tuple(flags)
    silence = next((flag for flag in found if flag.rule == SILENT and flag.cleared_at is None), None)
    if silence is None or last is None:
        return Sorted(None, (), found)
    since = tuple(flag for flag in found if _is_of_it(flag, last))
    return Sorted(silence, since, tuple(flag for flag in found if flag not in (silence, *since)))


def _is_of_it(flag: Flag, last: Instant) -> bool:
    return flag.rule == OVERDUE and flag.cleared_at is None and not flag.seen and flag.raised_at > last
