"""Reads as much of a record as a visit needs; its cost doesn't grow with the record."""

from collections.abc import Sequence

from carelog.analysis.home import home_of
from carelog.analysis.in_force import Reading
from carelog.analysis.visit.door import TEMPERATURES
from carelog.analysis.visit.visit import Visit, VisitDays, visit
from carelog.app.course import entries_for, flags_for
from carelog.app.history import next_after
from carelog.app.ports import Record
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import Instant
from carelog.kinds.observations import OBSERVATIONS

NEWEST = 4  # readings of the temperature: the newest may have been struck out


def entries_of_visit(record: Record, days: VisitDays) -> list[Entry]:
    """What both periods are read from, the first entry after them, and the last temperature however old."""
    found = {entry.id: entry for entry in entries_for(record, days.whole)}
    end = home_of(record).end_of(days.whole[-1])
    found |= {entry.id: entry for entry in next_after(record, end)}
    for field, _unit in TEMPERATURES:
        found |= {each.id: each for each in record.saying(OBSERVATIONS.name, field, count=NEWEST)}
    return list(found.values())


def visit_of(
    entries: list[Entry],
    days: VisitDays,
    now: Instant,
    flags: Sequence[Flag] | None = None,
    lately: Sequence[Flag] | None = None,
) -> Visit:
    """The page of these days as known now."""
    return visit(Reading(entries, live_now=now), entries, days, now, flags, lately)


def flags_of_visit(record: Record, days: VisitDays, now: Instant) -> list[Flag]:
    """All flags of both periods as they are now."""
    return flags_for(record, days.whole, now)
