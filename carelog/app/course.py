"""As much of a record as a course of some days needs, and the course and its flags made of it."""

from collections.abc import Sequence
from datetime import date, timedelta

from carelog.analysis.course.course import ALL_ROWS, WholeCourse, course
from carelog.analysis.cuff import SAYS
from carelog.analysis.home import home_of, zone_givers
from carelog.analysis.in_force import Reading
from carelog.analysis.learnt import LEARNT_FROM
from carelog.analysis.past import FEW, PastWindow
from carelog.analysis.period import period
from carelog.analysis.plans import plans
from carelog.analysis.week import Review
from carelog.app.ports import Record
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import Instant

CUFF_BEFORE = 5  # entries a kind: a pressure may say nothing of the cuff's being up


def entries_for(record: Record, days: Sequence[date]) -> list[Entry]:
    """The entries that these days are read from, and those that the usual is learnt from before them."""
    home = home_of(record)
    start, end = home.start_of(days[0] - timedelta(days=LEARNT_FROM)), home.end_of(days[-1])
    found = {entry.id: entry for entry in record.of_kinds(FEW)}
    found |= {entry.id: entry for held in zone_givers(record) for entry in held.chain}
    for kind in SAYS:
        found |= {entry.id: entry for entry in record.newest(kind, CUFF_BEFORE, start)}
    for entries in (record.ahead(end), record.period(start, end)):
        found |= {entry.id: entry for entry in entries}
    return list(found.values())


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
