"""Times away from home, and times of which somebody said that nothing was written down."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from carelog.analysis.in_force import Held, Reading
from carelog.analysis.times import clock, month_day, short_day
from carelog.domain.field import Choice
from carelog.domain.moment import Home, Instant, Moment
from carelog.kinds import named_or_unknown
from carelog.text import mark, say

FAR = 1 << 62
"""Later than any instant: the end of a stay that goes on."""

_AWAY = mark("Away: {where} {start} to {end}")
_STILL_AWAY = mark("Away: {where} since {start}")
_UNWRITTEN = mark("Not written down: {start} to {end}")
_SOMEWHERE = mark("a stay")


@dataclass(frozen=True, slots=True)
class Absence:
    """A stretch of a `stay`, or of a `gap`; `end` None while the stay goes on."""

    start: Instant
    end: Instant | None
    is_stay: bool
    where: str = ""

    @property
    def until(self) -> Instant:
        """The first instant after it."""
        return FAR if self.end is None else self.end

    def holds(self, instant: Instant) -> bool:
        """Whether an instant lies in it."""
        return self.start <= instant < self.until

    def touches(self, start: Instant, end: Instant) -> bool:
        """Whether any of it lies in a stretch of time."""
        return self.start < end and self.until > start


def stays(reading: Reading) -> list[Absence]:
    """The stays, each from its first `start` to the next `end`, oldest first; an end alone is none."""
    found: list[Absence] = []
    begun: Held | None = None
    for held in reading.of("stay"):
        details = held.entry.details
        if details["action"] == "start":
            begun = begun or held
        elif begun is not None:
            found.append(Absence(begun.time, held.time, True, begun.entry.details.get("where", "")))
            begun = None
    if begun is not None:
        found.append(Absence(begun.time, None, True, begun.entry.details.get("where", "")))
    return found


def unwritten(reading: Reading) -> list[Absence]:
    """The stretches of which somebody said that nothing was written down, by their ends."""
    return [
        Absence(min(Moment.read(held.entry.details["since"]).instant, held.time), held.time, False)
        for held in reading.of("gap")
    ]


def absences(reading: Reading) -> list[Absence]:
    """All of both, by their starts."""
    return sorted([*stays(reading), *unwritten(reading)], key=lambda each: (each.start, each.until))


def is_away(reading: Reading, now: Instant) -> bool:
    """Whether a stay is going on."""
    return any(each.holds(now) for each in stays(reading))


def last_return(reading: Reading, now: Instant) -> Absence | None:
    """The stay or gap that ended last by now, or None."""
    ended = [each for each in absences(reading) if each.end is not None and each.end <= now]
    return max(ended, key=lambda each: each.until, default=None)


def touched_days(home: Home, found: Iterable[Absence], days: Sequence[date]) -> set[date]:
    """Of some local days in a row those that any of these touches: no comparison counts them."""
    if not days:
        return set()
    touched = set()
    for each in found:
        if each.touches(home.start_of(days[0]), home.end_of(days[-1])):
            touched |= {day for day in days if each.touches(home.start_of(day), home.end_of(day))}
    return touched


def days_between(first: date, last: date) -> list[date]:
    """The days from the first up to, but without, the last."""
    return [first + timedelta(days=number) for number in range((last - first).days)]


def absence_words(home: Home, absence: Absence) -> str:
    """Away: hospital Fri 20 05:00 to Sat 21 16:00; or the same of what wasn't written down."""
    start = _day_clock(home, absence.start, absence.end)
    if absence.end is None:
        return say(_STILL_AWAY).format(where=_place(absence.where), start=start)
    end = _day_clock(home, absence.end, absence.start)
    if absence.is_stay:
        return say(_AWAY).format(where=_place(absence.where), start=start, end=end)
    return say(_UNWRITTEN).format(start=start, end=end)


def _place(where: str) -> str:
    field = named_or_unknown("stay").field("where")
    is_listed = where and field is not None and isinstance(field.type, Choice)
    return field.type.words(where) if field is not None and is_listed else say(_SOMEWHERE)


def _day_clock(home: Home, instant: Instant, other: Instant | None) -> str:
    day = home.day(instant)
    is_near = other is not None and abs((home.day(other) - day).days) < 7
    return f"{short_day(day) if is_near else month_day(day)} {clock(home, instant)}"
