"""Times in words, as seen from now: yesterday, how long ago, which night."""

from datetime import date, timedelta

from carelog.analysis.times import MONTHS, SHORT_MONTHS, clock, month_day, short_day
from carelog.domain.moment import HOUR, MINUTE, Home, Instant
from carelog.text import mark, say

WEEKDAYS = (
    mark("Monday"),
    mark("Tuesday"),
    mark("Wednesday"),
    mark("Thursday"),
    mark("Friday"),
    mark("Saturday"),
    mark("Sunday"),
)
_BEFORE_DAWN = 6  # o'clock; until then "last night" would be read in two ways, so the weekday is said


def long_date(home: Home, instant: Instant) -> str:
    """Thursday 26 November."""
    return day_name(home.day(instant))


def day_name(day: date) -> str:
    """Thursday 26 November."""
    return f"{say(WEEKDAYS[day.weekday()])} {day.day}\N{NO-BREAK SPACE}{say(MONTHS[day.month - 1])}"


def full_day(day: date) -> str:
    """Thursday 26 November 2026."""
    return f"{day_name(day)} {day.year}"


def head(home: Home, now: Instant) -> str:
    """Thursday 26 November, 03:12."""
    return f"{long_date(home, now)}, {clock(home, now)}"


def short_head(home: Home, now: Instant) -> str:
    """Thu 26, 03:12."""
    return f"{short_day(home.day(now))}, {clock(home, now)}"


def near(home: Home, instant: Instant, now: Instant) -> str:
    """The clock time, with the day when it isn't today's: “yesterday 21:40”, “Mon 23, 09:10”."""
    day, today = home.day(instant), home.day(now)
    time = clock(home, instant)
    if day == today:
        return time
    if day == today - timedelta(days=1):
        return say("yesterday {time}").format(time=time)
    if day == today + timedelta(days=1):
        return say("tomorrow {time}").format(time=time)
    if abs((today - day).days) < 300:
        return f"{month_day(day)}, {time}"
    return f"{day.isoformat()}, {time}"


def from_to(home: Home, start: Instant, end: Instant, now: Instant) -> tuple[str, str]:
    """A start and an end as `near` says them; an end of today has its day where the start is another's.

    A bare clock time after “Sat 21 Nov, 03:58 to” would be read as of that day.
    """
    last, day = near(home, end, now), home.day(end)
    is_bare = day == home.day(now) and day != home.day(start)
    return near(home, start, now), f"{month_day(day)}, {last}" if is_bare else last


def short(home: Home, instant: Instant, now: Instant) -> str:
    """Like `near` where there is little room: within six days the weekday, beyond the day alone."""
    day, today = home.day(instant), home.day(now)
    time, away = clock(home, instant), abs((today - day).days)
    if away == 0:
        return time
    if day == today - timedelta(days=1):
        return say("yesterday {time}").format(time=time)
    if away <= 6:
        return f"{short_day(day).split()[0]} {time}"
    return f"{day.day}\N{NO-BREAK SPACE}{say(SHORT_MONTHS[day.month - 1])}" if away < 300 else day.isoformat()


def at_night(home: Home, instant: Instant, now: Instant) -> str:
    """Like `near`, and between midnight and dawn the weekday, so that it is clear which night is meant."""
    local = home.local(instant)
    words = near(home, instant, now)
    if home.day(instant) == home.day(now) and local.hour < _BEFORE_DAWN:
        return f"{words} ({short_day(local.date()).split()[0]})"
    return words


def span(length: Instant) -> str:
    """How long: “12 min”, “3 h 32 min”, “2 days”; never less than nothing."""
    minutes = max(length, 0) // MINUTE
    if minutes < 1:
        return say("less than 1 min").replace(" ", "\N{NO-BREAK SPACE}")
    if minutes < 60:
        return f"{minutes}\N{NO-BREAK SPACE}{say('min')}"
    if length < 48 * HOUR:
        hours, rest = divmod(minutes, 60)
        words = f"{hours}\N{NO-BREAK SPACE}{say('h')}"
        return f"{words} {rest}\N{NO-BREAK SPACE}{say('min')}" if rest and hours < 24 else words
    return f"{length // (24 * HOUR)}\N{NO-BREAK SPACE}{say('days')}"


def ago(instant: Instant, now: Instant) -> str:
    """“3 h 32 min ago”."""
    return say("{span} ago").format(span=span(now - instant))


__all__ = [
    "ago",
    "at_night",
    "clock",
    "day_name",
    "full_day",
    "head",
    "long_date",
    "near",
    "short",
    "short_head",
    "span",
]
