"""What the cuff loses between two readings."""

from bisect import bisect_left
from collections.abc import Sequence
from typing import NamedTuple

from carelog.analysis.usual.day import Loss
from carelog.domain.entry import Details
from carelog.domain.moment import HOUR, Instant
from carelog.domain.units import pressure

SHORTEST = 2 * HOUR
LONGEST = 26 * HOUR
CUFF_KINDS = ("cuff_pressure", "cuff_state", "valve", "tube_change")


class CuffPoint(NamedTuple):
    """A reading in cmH2O as found and as left; both None: from here on the cuff isn't comparable."""

    time: Instant
    chain: str
    id: str
    found: float | None
    left: float | None
    is_adjusted: bool = False


def cuff_point(time: Instant, chain: str, id: str, kind: str, details: Details) -> CuffPoint | None:
    """The point that an entry sets, or None where it says nothing about the cuff's air."""
    if kind == "cuff_pressure":
        found = float(pressure(details["value"], details["unit"], "cmH2O"))
        after = details.get("value_after")
        left = found if after is None else float(pressure(after, details["unit"], "cmH2O"))
        return CuffPoint(time, chain, id, found, left, after is not None)
    says = kind == "cuff_state" or (kind == "valve" and "cuff_down" in details)
    if says or (kind == "tube_change" and details.get("ease") != "failed"):
        return CuffPoint(time, chain, id, None, None)
    return None


def losses(points: Sequence[CuffPoint], start: Instant, end: Instant) -> list[Loss]:
    """The losses that ended in [start, end), from readings 2 to 26 h apart with nothing done between them."""
    first = bisect_left(points, start, key=lambda point: point.time)
    found = []
    for place in range(max(first, 1), len(points)):
        before, point = points[place - 1], points[place]
        if point.time >= end:
            break
        if before.left is None or point.found is None or before.left < 5:
            continue
        between = point.time - before.time
        if SHORTEST <= between <= LONGEST:
            hours = between / HOUR
            rate = (before.left - point.found) / hours
            found.append(Loss(point.time, rate, hours, point.id, point.found, before.is_adjusted))
    return found
