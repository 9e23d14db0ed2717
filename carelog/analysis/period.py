"""A stretch of local days that is looked at as a whole: one week, or one day."""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry
from carelog.domain.moment import Home, Instant


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
        """Whether all of it is past."""
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
    reading: Reading, days: Sequence[date], known: Instant | None, past: Instant | None = None
) -> Period:
    """The period of these local days, judged up to and with the moment `past`; None: all of it is past."""
    home = reading.home
    start, end = home.start_of(days[0]), home.end_of(days[-1])
    judged = end if past is None else min(end, max(start, past + 1))
    return Period(home, tuple(days), start, end, known, judged, tuple(map(home.start_of, days)))
