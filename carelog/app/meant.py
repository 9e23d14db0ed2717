"""Reads what another plan would have meant: the last two weeks of a record under it and as they were."""

from datetime import timedelta

from carelog.analysis.home import home_of
from carelog.analysis.in_force import Reading
from carelog.analysis.meant import Meant, meant
from carelog.analysis.past import PastWindow
from carelog.analysis.period import period
from carelog.analysis.plans import in_place, plans, stand_in
from carelog.analysis.week import Review
from carelog.app.ports import Record
from carelog.domain.entry import Details
from carelog.domain.moment import Instant

DAYS = 14


def meant_of(record: Record, details: Details, now: Instant) -> Meant:
    """The details of a plan in place of those of the last two weeks; takes seconds in a long record."""
    home = home_of(record)
    today = home.day(now)
    days = [today - timedelta(days=number) for number in reversed(range(DAYS))]
    start = home.start_of(days[0])
    window = PastWindow(record, start, None, live_now=now)
    flags = window.flags()
    reading = Reading(window.entries, live_now=now)
    plan = stand_in(reading, {name: each for name, each in details.items() if name != "from"}, start)
    other = PastWindow(record, start, None, (plan, start), now)
    other_flags = other.flags()
    other_reading = Reading(other.entries, live_now=now)
    span = period(reading, days, now, now)
    recorded = plans(reading)
    return meant(
        Review(reading, window.entries, span, recorded),
        Review(other_reading, other.entries, span, in_place(recorded, plan, start)),
        flags,
        other_flags,
    )
