"""Which sheet of the last weeks a check code is of, and what of its days has changed since it was made."""

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise

from carelog.analysis.home import home_of
from carelog.analysis.visit.code import HEADING, CheckedSheet, CodeBook
from carelog.app.ports import FAR, Record
from carelog.domain.moment import Instant, Week

LOOKED_BACK = 91
"""Days: sheets that end longer ago aren't looked for."""
COURSE_DAYS = 28
ARRIVED = 20_000
"""So many of the newest entries are told apart by when they came here: a year of a busy household."""


def check_code(record: Record, code: str, now: Instant) -> CheckedSheet | None:
    """A sheet that has this code; None: none of the last weeks has it."""
    home = home_of(record)
    today = home.day(now)
    first = home.start_of(today - timedelta(days=LOOKED_BACK + COURSE_DAYS))
    found = {entry.id: entry for entry in record.of_kinds(HEADING)}
    found |= {entry.id: entry for entry in record.period(first, FAR)}
    sheet = _found(CodeBook(found.values(), home), code, today)
    if sheet is not None:
        return sheet
    arrived = record.arrived(max(record.last_arrival() - ARRIVED, 0))
    if all(one.recorded_at <= other.recorded_at for (_, one), (_, other) in pairwise(arrived)):
        return None
    return _found(CodeBook(found.values(), home, {each.id: n for n, each in arrived}), code, today)


def _found(book: CodeBook, code: str, today: date) -> CheckedSheet | None:
    sheets = (book.find(code, days, has_later_days=later) for days, later in _sheets(today))
    return next((sheet for sheet in sheets if sheet is not None), None)


def _sheets(today: date) -> Iterator[tuple[list[date], bool]]:
    """The days of sheets that may have been made; an unfinished week may be older than its last day.

    Where days without any entry make two sheets alike, the one that ends sooner comes first: it claims less.
    """
    for count in (7, 1, COURSE_DAYS):
        for back in range(LOOKED_BACK - 1, -1, -1):
            last = today - timedelta(days=back)
            yield [last - timedelta(days=number) for number in range(count - 1, -1, -1)], False
        if count == 7:
            for back in range(0, LOOKED_BACK, 7):
                yield Week.of(today - timedelta(days=back)).days(), True
