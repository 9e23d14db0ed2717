"""What is struck out where one of several versions of an entry is kept."""

from collections.abc import Mapping

from carelog.analysis.in_force import Held
from carelog.domain.entry import Entry
from carelog.domain.moment import Instant


def changes_to_strike(held: Held, kept: Entry, now: Instant) -> list[Entry]:
    """Of an entry with rivals, the first change of each side but the one that `kept` is the newest of.

    Where a side was written by a clock ahead of ours, all of that side's changes: our withdrawal of the first
    would lose against the newest of them.
    """
    by_id = {each.id: each for each in held.chain}
    path = {each.id for each in _upward(kept, by_id)} if kept.id in by_id else set()
    found = []
    for other in held.rivals if path else ():
        if other.id not in path:
            side = [each for each in _upward(other, by_id) if each.id not in path]
            found += side if other.recorded_at >= now else side[-1:]
    return found


def _upward(place: Entry, by_id: Mapping[str, Entry]) -> list[Entry]:
    found = [place]
    while place.amends is not None and place.amends in by_id:
        place = by_id[place.amends]
        found.append(place)
    return found
