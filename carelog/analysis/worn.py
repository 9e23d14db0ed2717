"""How long a speaking valve or cap was on and the cuff down, by what was recorded."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from carelog.analysis.cuff import active_cuff
from carelog.analysis.in_force import Reading, order_of
from carelog.analysis.tube import has_air_cuff, tube_events, tube_in_place
from carelog.domain.entry import Details
from carelog.domain.moment import Instant
from carelog.kinds.cuff_state import CUFF_STATE
from carelog.kinds.valve import VALVE


@dataclass(frozen=True, slots=True)
class WornTime:
    """From when to when something was so; `end` is None where nobody recorded that it ended."""

    start: Instant
    end: Instant | None

    def within(self, start: Instant, end: Instant) -> Instant:
        """How much of it lies between two instants, in microseconds; without an end up to the later."""
        return max(0, min(end if self.end is None else self.end, end) - max(self.start, start))


def valve_on(reading: Reading) -> list[WornTime]:
    """When a speaking valve or cap was on, oldest first: until one was taken off, or the tube came out."""
    return list(_stretches(_valve_says(reading)))


def cuff_down(reading: Reading) -> list[WornTime]:
    """When a cuff that holds air was down, oldest first."""
    found = _stretches((time, not is_up) for time, is_up in active_cuff(reading))
    return [each for each in found if has_air_cuff(tube_in_place(reading, each.start))]


def _valve_says(reading: Reading) -> Iterator[tuple[Instant, bool]]:
    said = [*reading.of(VALVE.name), *tube_events(reading)]
    for held in sorted(said, key=order_of):
        is_on = held.entry.kind == VALVE.name and held.entry.details["action"] == "on"
        yield held.time, is_on


def _stretches(says: Iterable[tuple[Instant, bool]]) -> Iterator[WornTime]:
    since: Instant | None = None
    for time, is_so in says:
        if is_so and since is None:
            since = time
        elif not is_so and since is not None:
            yield WornTime(since, time)
            since = None
    if since is not None:
        yield WornTime(since, None)


def whole_in_hours(reading: Reading) -> set[str]:
    """The ids of the entries of which the hours of valve and cuff say all but the minute.

    Only what begins or ends a stretch is: neither a cap, nor a voice that was heard, nor a valve that was put
    on without the answer that the cuff is down.
    """
    found = set()
    for kind, stretches in ((VALVE.name, valve_on(reading)), (CUFF_STATE.name, cuff_down(reading))):
        edges = {time for each in stretches for time in (each.start, each.end)}
        found |= {
            held.entry.id for held in reading.of(kind) if held.time in edges and _is_plain(held.entry.details)
        }
    return found


def _is_plain(details: Details) -> bool:
    if "state" in details:
        return details.keys() <= {"state"}
    return details.get("what") != "cap" and (details["action"] == "off" or details.get("cuff_down") is True)


def lengths(found: Sequence[WornTime], starts: Sequence[Instant], end: Instant) -> list[Instant]:
    """How long it was so on each day that begins at `starts`, up to `end`; microseconds."""
    edges = [*starts[1:], end]
    return [
        sum(each.within(start, min(stop, end)) for each in found)
        for start, stop in zip(starts, edges, strict=True)
    ]
