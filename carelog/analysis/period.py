"""A stretch of local days that is looked at as a whole: one week, or one day."""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry
from carelog.domain.moment import HOUR, Home, Instant

# A week whose newest entry was written this late counts as over: nobody writes in its last hours.
LAST_HOURS = 6 * HOUR


@dataclass(frozen=True, slots=True)
class Period:
    """Local days from `start` to `end` (excluded); nothing is said about what comes after `judged`.

    `known` is the moment up to which the record is read: the one asked for, else the newest `recorded_at`;
    None without either. `starts` are the days' first instants. All instants in UTC microseconds.
    """

    home: Home
    days: tuple[date, ...]
    start: Instant
    end: Instant
    known: Instant | None
    judged: Instant
    starts: tuple[Instant, ...]

    @property
    def is_finished(self) -> bool:
        """Whether all of it is known."""
        return self.judged >= self.end

    def holds(self, instant: Instant) -> bool:
        """Whether an instant lies in it."""
        return self.start <= instant < self.end

    def place(self, instant: Instant) -> int:
        """The number of the day, from 0, that an instant of the period lies on."""
        return bisect_right(self.starts, instant) - 1


def known_by(entries: Iterable[Entry], at: Instant | None) -> Instant | None:
    """The moment up to which a record is read: the one asked for, else its newest `recorded_at`."""
    return at if at is not None else max((entry.recorded_at for entry in entries), default=None)


def period(
    reading: Reading, days: Sequence[date], known: Instant | None, asked: bool, last: Instant = LAST_HOURS
) -> Period:
    """The period of these local days; `asked` says whether the moment was asked for or is just the newest."""
    home = reading.home
    start, end = home.start_of(days[0]), home.end_of(days[-1])
    judged = start if known is None else min(end, max(start, known + 1))
    if known is not None and not asked and known >= end - last:
        judged = end
    return Period(home, tuple(days), start, end, known, judged, tuple(map(home.start_of, days)))
