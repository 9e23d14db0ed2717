"""As much of a record as a course of some days needs, and the course and its flags made of it."""

from collections.abc import Sequence
from datetime import date, timedelta

from carelog.analysis.course.course import ALL_ROWS, WholeCourse, course
from carelog.analysis.cuff import SAYS
from carelog.analysis.home import home_of, zone_givers
from carelog.analysis.in_force import Reading
from carelog.analysis.learnt import LEARNT_FROM, LEARNT_RECORDED
from carelog.analysis.past import FEW, PastWindow
from carelog.analysis.period import period
from carelog.analysis.plans import plans
from carelog.analysis.recorded import recorded_days
from carelog.analysis.week import Review
from carelog.app.ports import Record
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import Home, Instant

CUFF_BEFORE = 5  # entries a kind: a pressure may say nothing of the cuff's being up


def entries_for(record: Record, days: Sequence[date]) -> list[Entry]:
    """The entries that these days are read from, and those that the usual is learnt from before them."""
    home = home_of(record)
    end = home.end_of(days[-1])
    found = {entry.id: entry for entry in record.of_kinds(FEW)}
    found |= {entry.id: entry for held in zone_givers(record) for entry in held.chain}
    found |= {entry.id: entry for entry in record.ahead(end)}
    found |= {entry.id: entry for entry in learnt_from(record, days[0], end)}
    start = home.start_of(days[0] - timedelta(days=LEARNT_FROM))
    for kind in SAYS:
        found |= {entry.id: entry for entry in record.newest(kind, CUFF_BEFORE, start)}
    return list(found.values())


def learnt_from(record: Record, first: date, end: Instant) -> list[Entry]:
    """What happened until `end`, with the recorded days before the first day that settle what is usual.

    Where days are left unwritten more of them are read: the usual of a day is the same however it is read.
    """
    home = home_of(record)
    step, start = LEARNT_FROM, home.start_of(first - timedelta(days=LEARNT_FROM))
    found = record.period(start, end)
    begins = record.begins()
    while start > begins and _recorded_before(home, found, first) < LEARNT_RECORDED:
        step *= 2
        earlier = home.start_of(home.day(start) - timedelta(days=step))
        found += record.period(earlier, start)
        start = earlier
    return found


def _recorded_before(home: Home, entries: Sequence[Entry], first: date) -> int:
    return sum(day < first for day in recorded_days(home, Reading(entries).held))


def course_of(
    entries: Sequence[Entry], days: Sequence[date], now: Instant, flags: Sequence[Flag] | None = None
) -> WholeCourse:
    """The course of these days as known now, with all rows there are."""
    reading = Reading(entries, live_now=now)
    review = Review(reading, entries, period(reading, days, now, now), plans(reading))
    return course(review, flags, ALL_ROWS)


def flags_for(record: Record, days: Sequence[date], now: Instant) -> list[Flag]:
    """All flags of these days, as now; of a year this takes many seconds."""
    start = home_of(record).start_of(days[0])
    return PastWindow(record, start, None, live_now=now).flags()
