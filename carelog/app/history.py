"""As much of a record as its sheets and its kit need."""

from collections.abc import Sequence
from datetime import date

from carelog.analysis.home import home_of
from carelog.analysis.past import PastWindow
from carelog.app.ports import Record
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import Instant
from carelog.domain.paper import FindFlags


def history(record: Record, start: Instant, end: Instant | None = None) -> list[Entry]:
    """The entries for a period from `start` to `end` (None: now, and what a clock ahead wrote)."""
    return PastWindow(record, start, end).settled().entries


def of_days(
    record: Record, days: Sequence[date], now: Instant | None = None
) -> tuple[list[Entry], FindFlags]:
    """What a sheet of some days is made from, and how its flags are found; `now`: the clock, where it counts.

    Also what was written later about these days, and what was written last.
    """
    home = home_of(record)
    start, end = home.start_of(days[0]), home.end_of(days[-1])
    later = max((entry.recorded_at for entry in record.period(start, end)), default=end)
    is_over = now is None or now >= end
    until, live_now = (max(end, later + 1), None) if is_over else (None, now)
    window = PastWindow(record, start, until, live_now=live_now)
    window.whole()
    last, found = record.last_written(), window.entries

    def flags(_entries: Sequence[Entry], start: Instant, end: Instant) -> list[Flag]:
        return window.between(start, end, live_now)

    return found if last is None or last in found else [*found, last], flags
