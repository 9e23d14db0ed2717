"""Times in words: clock times, days, how long ago; a time is shown as it was where it happened."""

from datetime import date, datetime, timedelta

from carelog.domain.moment import HOUR, MINUTE, Home, Instant, Moment
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
SHORT_WEEKDAYS = (mark("Mon"), mark("Tue"), mark("Wed"), mark("Thu"), mark("Fri"), mark("Sat"), mark("Sun"))
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
_BEFORE_DAWN = 6  # o'clock; until then "last night" would be read in two ways, so the weekday is said


def clock(home: Home, instant: Instant) -> str:
    """The local clock time, 03:12."""
    return home.local(instant).strftime("%H:%M")


def long_date(home: Home, instant: Instant) -> str:
    """Thursday 26 November."""
    return day_name(home.day(instant))


def day_name(day: date) -> str:
    """Thursday 26 November."""
    return f"{say(WEEKDAYS[day.weekday()])} {day.day}\N{NO-BREAK SPACE}{say(MONTHS[day.month - 1])}"


def short_day(day: date) -> str:
    """Thu 26."""
    return f"{say(SHORT_WEEKDAYS[day.weekday()])}\N{NO-BREAK SPACE}{day.day}"


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
        return f"{short_day(day)}\N{NO-BREAK SPACE}{say(MONTHS[day.month - 1])[:3]}, {time}"
    return f"{day.isoformat()}, {time}"


def at_night(home: Home, instant: Instant, now: Instant) -> str:
    """Like `near`, and between midnight and dawn the weekday, so that it is clear which night is meant."""
    local = home.local(instant)
    words = near(home, instant, now)
    if home.day(instant) == home.day(now) and local.hour < _BEFORE_DAWN:
        return f"{words} ({say(SHORT_WEEKDAYS[local.weekday()])})"
    return words


def here(moment: Moment) -> datetime:
    """The clock reading where it happened."""
    return datetime(1970, 1, 1) + timedelta(microseconds=moment.instant + moment.offset * MINUTE)


def there(home: Home, moment: Moment) -> str:
    """The clock time where it happened, with its offset where it would be ambiguous."""
    time = here(moment).strftime("%H:%M")
    local = home.local(moment.instant)
    if home.offset(moment.instant) == moment.offset and not home.is_doubled(local.date(), local.time()):
        return time
    return f"{time}\N{NO-BREAK SPACE}({offset(moment.offset)})"


def offset(minutes: int) -> str:
    """+01:00."""
    hours, rest = divmod(abs(minutes), 60)
    return f"{'-' if minutes < 0 else '+'}{hours:02}:{rest:02}"


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
