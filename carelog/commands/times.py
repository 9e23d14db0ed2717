"""Times as they are typed on the command line: ISO 8601, in the home zone where no offset is given."""

import re
from datetime import date, datetime

from carelog.domain.moment import MINUTE, YEARS, Home, Instant, Moment, is_writable, of_datetime, whole_second
from carelog.domain.trouble import WrongUse
from carelog.text import say

_DAY = re.compile(r"\d{4}-?\d\d-?\d\d|\d{4}-?W\d\d(-?\d)?|\d{4}-\d{3}", re.ASCII)


def read_moment(text: str, home: Home) -> Moment:
    """The moment a text says; a date alone is the start of that day at home.

    `WrongUse` for a local time that the home zone skips or doubles, with both readings.
    """
    tidy = text.strip()
    try:
        if _DAY.fullmatch(tidy):
            return _checked(home.moment(home.start_of(read_date(tidy))), text)
        found = datetime.fromisoformat(tidy)
    except ValueError:
        raise _no_time(text) from None
    if found.tzinfo is None:
        return _checked(_local(found, home), text)
    offset = found.utcoffset()
    if offset is None or offset.seconds % 60:
        raise _no_time(text)
    try:
        instant = of_datetime(found)
    except OverflowError:
        raise _no_time(text) from None
    return _checked(Moment(instant, round(offset.total_seconds() / 60)), text)


def read_date(text: str) -> date:
    """The day that an ISO 8601 date names; `WrongUse` when there is none."""
    try:
        if re.fullmatch(r"\d{4}-\d{3}", text, re.ASCII):
            return datetime.strptime(text, "%Y-%j").date()
        return date.fromisoformat(text.strip())
    except ValueError:
        raise WrongUse(say("“{text}” isn't a date like 2026-11-22.").format(text=text[:40])) from None


def _local(wanted: datetime, home: Home) -> Moment:
    day, clock = wanted.date(), wanted.time()
    first, last = YEARS
    if not first <= day.year <= last:
        raise WrongUse(say("Give a time of the years {first} to {last}.").format(first=first, last=last))
    if home.is_skipped(day, clock):
        raise _unclear(wanted, home, say("“{time}” doesn't exist in {zone} (the clocks go forward)"))
    if home.is_doubled(day, clock):
        raise _unclear(wanted, home, say("“{time}” comes twice in {zone} (the clocks go back)"))
    return home.moment(home.at(day, clock))


def _unclear(wanted: datetime, home: Home, what: str) -> WrongUse:
    zone = home.local(home.at(wanted.date(), wanted.time())).tzinfo
    readings = sorted(wanted.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
    first, second = (each.isoformat() for each in readings)
    start = what.format(time=wanted.isoformat(), zone=home.name)
    return WrongUse(say("{what}: give {first} or {second}.").format(what=start, first=first, second=second))


def _checked(moment: Moment, text: str) -> Moment:
    if is_writable(moment.instant) and is_writable(moment.instant + moment.offset * MINUTE):
        return moment
    raise _no_time(text)


def _no_time(text: str) -> WrongUse:
    return WrongUse(say("“{text}” isn't a time like 2026-11-22T03:10.").format(text=text[:40]))


def home_text(instant: Instant, home: Home) -> str:
    """An instant in the home zone's offset, to the whole second."""
    return home.moment(whole_second(instant)).text()
