"""Days and clock times in words, for sheets and whatever else shows a period."""

from datetime import date, datetime, timedelta
from functools import lru_cache

from carelog.domain.entry import Entry
from carelog.domain.moment import HOUR, MINUTE, Home, Instant, Moment, Week, known_zone
from carelog.text import mark, say

_DAYS = (mark("Mon"), mark("Tue"), mark("Wed"), mark("Thu"), mark("Fri"), mark("Sat"), mark("Sun"))
MONTHS = (
    mark("January"),
    mark("February"),
    mark("March"),
    mark("April"),
    mark("May"),
    mark("June"),
    mark("July"),
    mark("August"),
    mark("September"),
    mark("October"),
    mark("November"),
    mark("December"),
)
SHORT_MONTHS = (
    mark("Jan"),
    mark("Feb"),
    mark("Mar"),
    mark("Apr"),
    mark("May"),
    mark("Jun"),
    mark("Jul"),
    mark("Aug"),
    mark("Sep"),
    mark("Oct"),
    mark("Nov"),
    mark("Dec"),
)
_WEEK = mark("{number} ({first} to {last})")
_NO_BREAK = "\N{NO-BREAK SPACE}"


def short_day(day: date) -> str:
    """Mon 19."""
    return f"{say(_DAYS[day.weekday()])}{_NO_BREAK}{day.day}"


def month_day(day: date) -> str:
    """Mon 19 Oct."""
    return f"{short_day(day)}{_NO_BREAK}{say(SHORT_MONTHS[day.month - 1])}"


def full_day(day: date) -> str:
    """19 October 2026."""
    return f"{day.day}{_NO_BREAK}{say(MONTHS[day.month - 1])}{_NO_BREAK}{day.year}"


def day_words(text: str) -> str:
    """A day as YYYY-MM-DD, or a month as YYYY-MM, in words: Sat 28 November 2026; November 2026."""
    if len(text) > len("2026-11"):
        day = date.fromisoformat(text)
        return f"{say(_DAYS[day.weekday()])}{_NO_BREAK}{full_day(day)}"
    return f"{say(MONTHS[int(text[5:]) - 1])}{_NO_BREAK}{int(text[:4])}"


def week_words(text: str) -> str:
    """A week as YYYY-Www with its days: week 46 (9 to 15 Nov)."""
    week = Week.read(text)
    first = week.monday()
    last = first + timedelta(days=6)
    start = str(first.day) if first.month == last.month else _day_of_month(first)
    return say(_WEEK).format(number=week.number, first=start, last=_day_of_month(last))


def _day_of_month(day: date) -> str:
    return f"{day.day}{_NO_BREAK}{say(SHORT_MONTHS[day.month - 1])}"


def clock(home: Home, instant: Instant) -> str:
    """The local time, 08:10; with its offset in an hour that comes twice."""
    local = home.local(instant)
    words = f"{local.hour:02}:{local.minute:02}"
    if _clocks_change(home.name, local.date()) and home.is_doubled(local.date(), local.time()):
        return f"{words}{_NO_BREAK}({_offset(home.offset(instant))})"
    return words


@lru_cache(maxsize=4096)
def _clocks_change(zone: str, day: date) -> bool:
    """Whether a day has other than 24 hours."""
    home = Home(zone)
    return home.end_of(day) - home.start_of(day) != 24 * HOUR


def near(home: Home, instant: Instant, other: Instant) -> str:
    """The local time, with its day where that isn't the other instant's."""
    day = home.day(instant)
    if day == home.day(other):
        return clock(home, instant)
    named = short_day(day) if abs((day - home.day(other)).days) < 7 else month_day(day)
    if abs((day - home.day(other)).days) > 180:
        named = full_day(day)
    return f"{named} {clock(home, instant)}"


def dated(home: Home, instant: Instant) -> str:
    """Mon 19 October 2026, 08:10."""
    day = home.day(instant)
    return f"{say(_DAYS[day.weekday()])}{_NO_BREAK}{full_day(day)}, {clock(home, instant)}"


def there(home: Home, entry: Entry) -> str:
    """The time where it happened; away from home its offset, and the time at home beside it."""
    at = entry.at
    if entry.zone in ("", home.name):
        return clock(home, at.instant)
    zone = known_zone(entry.zone)
    offset = Home(entry.zone).offset(at.instant) if zone else at.offset
    if offset == home.offset(at.instant):
        return clock(home, at.instant)
    local = _at_offset(Moment(at.instant, offset))
    at_home = f"{clock(home, at.instant)}{_NO_BREAK}{say(mark('at home'))}"
    return f"{local:%H:%M}{_NO_BREAK}({_offset(offset)}; {at_home})"


def _at_offset(moment: Moment) -> datetime:
    return datetime(1970, 1, 1) + timedelta(microseconds=moment.instant + moment.offset * MINUTE)


def _offset(minutes: int) -> str:
    hours, rest = divmod(abs(minutes), 60)
    return f"{'-' if minutes < 0 else '+'}{hours:02}:{rest:02}"


def span(length: Instant) -> str:
    """How long, to the minute under two hours: 45 min, 3 h, 2 days."""
    minutes = max(length, 0) // MINUTE
    if minutes < 120:
        return f"{minutes}{_NO_BREAK}{say(mark('min'))}"
    if length < 48 * HOUR:
        return f"{round(length / HOUR)}{_NO_BREAK}{say(mark('h'))}"
    return f"{length // (24 * HOUR)}{_NO_BREAK}{say(mark('days'))}"
