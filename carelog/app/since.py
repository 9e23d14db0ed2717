"""Reads what happened since somebody wrote last; its cost doesn't grow with the record."""

from dataclasses import replace
from datetime import date, timedelta

from carelog.analysis.course.course import course
from carelog.analysis.course.rows import Counts
from carelog.analysis.in_force import Reading
from carelog.analysis.past import FEW
from carelog.analysis.period import period
from carelog.analysis.plans import plans
from carelog.analysis.since import Since, Stands, since
from carelog.analysis.week import Review
from carelog.app.outlook import Picture
from carelog.app.ports import FAR, Record
from carelog.app.writing import last_writing
from carelog.domain.moment import DAY_24_H, Instant

MOST_DAYS = 30
"""Nobody is told more than a month; what is further back stands in the days and in the course."""
COUNTED_DAYS = 7
NEW_HERE = 3
"""Of who never wrote here, so many days are told."""
ROW = "suctions"


def since_of(record: Record, picture: Picture, by: str) -> Since:
    """What is told to somebody at the picture's moment."""
    now, home = picture.now, picture.home
    own = last_writing(record, now + 1, by)
    last = None if own is None else own.recorded_at
    start = now - (NEW_HERE if last is None else MOST_DAYS) * DAY_24_H
    start = start if last is None else max(last, start)
    days = _days(picture, start)
    found = {entry.id: entry for entry in record.of_kinds(FEW)}
    for entries in (record.written(start, FAR), record.period(home.start_of(days[0]), now + 1)):
        found |= {entry.id: entry for entry in entries}
    reading = Reading(found.values(), live_now=now)
    review = Review(reading, list(found.values()), period(reading, days, now, now), plans(reading))
    (row, *_) = (*course(review, None, (ROW,)).rows, None)
    counts = None
    if isinstance(row, Counts):
        usual = picture.comparison.suctions if picture.comparison else None
        counts = replace(row, usual=tuple(usual for _ in row.cells))
    return since(
        reading, by, last, start, now, Stands(picture.flags, picture.dues, dict(picture.latest)), counts
    )


def _days(picture: Picture, start: Instant) -> list[date]:
    """The days since then, at most a week of them, with today."""
    home = picture.home
    today = home.day(picture.now)
    first = max(home.day(start), today - timedelta(days=COUNTED_DAYS - 1))
    return [first + timedelta(days=number) for number in range((today - first).days + 1)]
