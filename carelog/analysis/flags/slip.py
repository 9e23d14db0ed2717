"""Flags that a slip of the fingers raised: a week's sheet is about the body, not about typing."""

from collections.abc import Iterable

from carelog.analysis.in_force import Reading, is_slip
from carelog.domain.flag import Flag


def without_slips(flags: Iterable[Flag], reading: Reading) -> list[Flag]:
    """The flags without those that one entry raised, and its correction within ten minutes ended.

    One that somebody looked at stays: what they said about it stands nowhere else.
    """
    return [flag for flag in flags if flag.seen or not _is_of_a_slip(flag, reading)]


def _is_of_a_slip(flag: Flag, reading: Reading) -> bool:
    if flag.cleared_at is None or len(flag.entries) != 1:
        return False
    held = reading.get(flag.entries[0])
    if held is None:
        return False
    by_id = {entry.id: entry for entry in held.chain}
    return any(
        change.amends == flag.entries[0]
        and is_slip(by_id[change.amends], change)
        and reading.known_from(change.id) == flag.cleared_at
        for change in held.chain
    )
