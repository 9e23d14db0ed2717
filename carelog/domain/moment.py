"""Moments, the home zone's days and weeks; every interval is elapsed time, counted in UTC.

An instant is a whole number of microseconds since 1970-01-01T00:00 UTC (negative before it).
"""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from carelog.domain.instant import DAY_24_H as DAY_24_H
from carelog.domain.instant import HOUR as HOUR
from carelog.domain.instant import MINUTE as MINUTE
from carelog.domain.instant import SECOND as SECOND
from carelog.domain.instant import Instant as Instant
from carelog.domain.trouble import Refused
from carelog.text import say

YEARS = (2, 9998)
"""What a time or a day may be of: the calendar has weeks before, a day after, and it in any zone."""

_EPOCH = datetime(1970, 1, 1)
_EPOCH_AWARE = _EPOCH.replace(tzinfo=UTC)
_FIRST = (datetime.min - _EPOCH) // timedelta(microseconds=1)
_LAST = (datetime.max - _EPOCH) // timedelta(microseconds=1)
_FORM = re.compile(
    r"(\d{4}-\d\d-\d\dT(?:[01]\d|2[0-3]):[0-5]\d)(?::([0-5]\d)(?:\.(\d{1,6}))?)?(Z|([+-])(\d\d):(\d\d))",
    re.ASCII,
)
_CLOCK_FORM = re.compile(r"([01]\d|2[0-3]):[0-5]\d", re.ASCII)
_DATE_FORM = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_MONTH_FORM = re.compile(r"\d{4}-(0[1-9]|1[0-2])", re.ASCII)
_ZONE_FORM = re.compile(r"[A-Za-z][A-Za-z0-9_+-]*(/[A-Za-z0-9_+-]+)*", re.ASCII)
_NUMBER_FORM = re.compile(r"[wW]?(\d{1,2})", re.ASCII)
_WEEK_FORM = re.compile(r"(\d{4})-W(\d\d)", re.ASCII)


@dataclass(frozen=True, slots=True)
class Moment:
    """An instant and the offset (minutes east of UTC) of the clock it was read from."""

    instant: Instant
    offset: int = 0

    @classmethod
    def read(cls, text: str) -> "Moment":
        """The moment written as YYYY-MM-DDThh:mm[:ss[.ffffff]] with Z or an offset; else `Refused`."""
        found = _FORM.fullmatch(text)
        if not found:
            raise Refused(say("“{text}” isn't a time like 2026-11-22T03:10:00+00:00.").format(text=text[:40]))
        minute, second, fraction, zone, sign, off_hour, off_minute = found.groups()
        offset = 0
        if zone != "Z":
            if off_hour > "23" or off_minute > "59":
                raise Refused(say("“{text}” has an offset that no clock has.").format(text=text[:40]))
            offset = (int(off_hour) * 60 + int(off_minute)) * (-1 if sign == "-" else 1)
        try:
            since = datetime.fromisoformat(minute) - _EPOCH
        except ValueError:
            raise Refused(say("“{text}” isn't a day and time that exists.").format(text=text[:40])) from None
        whole = since.days * 86_400 + since.seconds + int(second or 0)
        return cls(whole * SECOND + int((fraction or "").ljust(6, "0")) - offset * MINUTE, offset)

    def text(self) -> str:
        """The exchange form in the moment's own offset: to the second, or six digits when they aren't 0."""
        local = _EPOCH + timedelta(microseconds=self.instant + self.offset * MINUTE)
        return f"{local.isoformat()}{_offset_text(self.offset)}"


@lru_cache(maxsize=128)
def _offset_text(offset: int) -> str:
    hours, minutes = divmod(abs(offset), 60)
    return f"{'-' if offset < 0 else '+'}{hours:02}:{minutes:02}"


def utc_text(instant: Instant) -> str:
    """An instant in the exchange form, in UTC as +00:00."""
    return f"{(_EPOCH + timedelta(microseconds=instant)).isoformat()}+00:00"


def whole_second(instant: Instant) -> Instant:
    """The instant without its fraction of a second."""
    return instant // SECOND * SECOND


def is_writable(instant: Instant) -> bool:
    """Whether the instant lies in the years 1 to 9999 of UTC."""
    return _FIRST <= instant <= _LAST


def of_datetime(moment: datetime) -> Instant:
    """The instant of an aware datetime."""
    return (moment.astimezone(UTC).replace(tzinfo=None) - _EPOCH) // timedelta(microseconds=1)


@lru_cache(maxsize=256)
def has_zone_form(name: str) -> bool:
    """Whether a name has the form of an IANA zone name; it need not be known here."""
    return len(name) <= 255 and _ZONE_FORM.fullmatch(name) is not None


@lru_cache(maxsize=64)
def known_zone(name: str) -> ZoneInfo | None:
    """The zone's rules, or None when this computer doesn't know the name."""
    if not has_zone_form(name):
        return None
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return None


@dataclass(frozen=True, slots=True)
class Week:
    """An ISO week."""

    year: int
    number: int

    @classmethod
    def read(cls, text: str) -> "Week":
        """The week written as 2026-W47; `Refused` for another form or a week that year doesn't have."""
        found = _WEEK_FORM.fullmatch(text)
        try:
            if not found:
                raise ValueError
            week = cls(int(found[1]), int(found[2]))
            week.monday()
        except ValueError:
            raise Refused(say("“{text}” isn't a week like 2026-W47.").format(text=text[:40])) from None
        return week

    @classmethod
    def near(cls, text: str, today: date) -> "Week":
        """The same, and of a number alone, such as 47 or W47, the newest such week that has begun."""
        found = _NUMBER_FORM.fullmatch(text.strip())
        if found is None:
            return cls.read(text.strip())
        year = cls.of(today).year
        for each in (year, year - 1):
            try:
                week = cls.read(f"{each:04}-W{int(found[1]):02}")
            except Refused:
                continue  # a 53rd week, which not every year has
            if week.monday() <= today:
                return week
        return cls.read(text.strip())

    @classmethod
    def of(cls, day: date) -> "Week":
        """The week that holds a day."""
        year, number, _ = day.isocalendar()
        return cls(year, number)

    def monday(self) -> date:
        """Its first day."""
        return date.fromisocalendar(self.year, self.number, 1)

    def days(self) -> list[date]:
        """Its seven days."""
        return [self.monday() + timedelta(days=n) for n in range(7)]

    def text(self) -> str:
        """The form 2026-W47."""
        return f"{self.year:04}-W{self.number:02}"


class Home:
    """The home zone's clock: local days of 23, 24 or 25 hours."""

    def __init__(self, name: str) -> None:
        """`name` is an IANA zone; one unknown here is read as UTC."""
        self.name = name
        self._zone: ZoneInfo = known_zone(name) or ZoneInfo("UTC")

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Home) and other.name == self.name

    def __hash__(self) -> int:
        return hash(self.name)

    def local(self, instant: Instant) -> datetime:
        """The local clock reading, aware; times outside the years 1 to 9999 are held at their edge."""
        held = min(max(instant, _FIRST + 2 * DAY_24_H), _LAST - 2 * DAY_24_H)
        return (_EPOCH_AWARE + timedelta(microseconds=held)).astimezone(self._zone)

    def offset(self, instant: Instant) -> int:
        """Minutes east of UTC at that instant."""
        shift = self.local(instant).utcoffset() or timedelta()
        return round(shift.total_seconds() / 60)

    def moment(self, instant: Instant) -> Moment:
        """The instant with the home zone's offset."""
        return Moment(instant, self.offset(instant))

    def day(self, instant: Instant) -> date:
        """The local day."""
        return self.local(instant).date()

    def at(self, day: date, clock: time) -> Instant:
        """A local time as an instant: in the spring gap the minute after it, if doubled the first."""
        return _instant_of(self.name, day, clock.replace(tzinfo=None, fold=0))

    def _instant_of(self, day: date, clock: time) -> Instant:
        wanted = datetime.combine(day, clock)
        here = of_datetime(wanted.replace(tzinfo=self._zone))
        if self.local(here).replace(tzinfo=None) == wanted:
            return here
        return self._after_gap(wanted, here)

    def _after_gap(self, wanted: datetime, near: Instant) -> Instant:
        low, high = near - 4 * HOUR, near + 4 * HOUR
        while high - low > MINUTE:
            middle = (low + high) // (2 * MINUTE) * MINUTE
            if self.local(middle).replace(tzinfo=None) < wanted:
                low = middle
            else:
                high = middle
        return high

    def is_doubled(self, day: date, clock: time) -> bool:
        """Whether the local time comes twice that day (autumn)."""
        first = datetime.combine(day, clock.replace(tzinfo=self._zone, fold=0))
        return first.utcoffset() != first.replace(fold=1).utcoffset() and not self.is_skipped(day, clock)

    def is_skipped(self, day: date, clock: time) -> bool:
        """Whether the local time doesn't exist that day (spring)."""
        wanted = datetime.combine(day, clock.replace(tzinfo=None, fold=0))
        return self.local(of_datetime(wanted.replace(tzinfo=self._zone))).replace(tzinfo=None) != wanted

    def start_of(self, day: date) -> Instant:
        """The first instant of a local day."""
        return self.at(day, time())

    def end_of(self, day: date) -> Instant:
        """The first instant of the next local day."""
        return self.start_of(day + timedelta(days=1))

    def week(self, week: Week) -> tuple[Instant, Instant]:
        """A week's first instant and the first after it."""
        return self.start_of(week.monday()), self.end_of(week.days()[-1])


@lru_cache(maxsize=4096)
def _instant_of(zone: str, day: date, clock: time) -> Instant:
    """What `Home.at` says; the same few edges of days are asked for again and again."""
    return Home(zone)._instant_of(day, clock)


def is_clock(text: str) -> bool:
    """Whether a text is a time of day, as hh:mm."""
    return _CLOCK_FORM.fullmatch(text) is not None


def is_date(text: str) -> bool:
    """Whether a text is a day of the calendar, as YYYY-MM-DD."""
    if not _DATE_FORM.fullmatch(text):
        return False
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def is_month(text: str) -> bool:
    """Whether a text is a month of the calendar, as YYYY-MM."""
    return _MONTH_FORM.fullmatch(text) is not None and text >= "0001"


def is_week(text: str) -> bool:
    """Whether a text is an ISO week, as YYYY-Www."""
    try:
        Week.read(text)
    except Refused:
        return False
    return True
