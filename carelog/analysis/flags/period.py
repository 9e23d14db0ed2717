"""The flags of a period, read as at its end, or as they are now."""

from collections.abc import Iterable

from carelog.analysis.flags.replay import steps
from carelog.analysis.flags.statistics import Whole
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import Instant
from carelog.domain.plan import Plan


def flags(
    entries: Iterable[Entry],
    start: Instant,
    end: Instant,
    plan: Plan | None = None,
    live_now: Instant | None = None,
) -> list[Flag]:
    """Every flag in force at any moment from `start` to `end` (excluded), sorted by when it was raised.

    What becomes known or true at `end` or later takes no part. `plan` takes the place of those in force from
    `start` on. With `live_now` the reading is a live one: its end is that moment, included, and what claims
    to have been recorded later counts as recorded then, of doubtful time.
    """
    whole = Whole((plan, start) if plan is not None else None)
    stop = end if live_now is None else live_now + 1
    for known, group, doubtful in steps(entries, stop, live_now):
        whole.take(known, group, doubtful)
    whole.pass_time(stop)
    return whole.flags(start)
