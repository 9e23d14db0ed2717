"""The quiet hours and slots written down once more, minute by minute, with no thought for speed."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from itertools import pairwise
from zoneinfo import ZoneInfo

from carelog.domain.moment import MINUTE, Instant

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def _local(zone: str, instant: Instant) -> datetime:
    return (EPOCH + timedelta(microseconds=instant)).astimezone(ZoneInfo(zone)).replace(tzinfo=None)


@lru_cache(maxsize=64)
def minutes_of(zone: str, day: date) -> list[tuple[Instant, str]]:
    """All minutes of a local day, each with what the clock shows."""
    noon = int((datetime(day.year, day.month, day.day, 12, tzinfo=UTC) - EPOCH) / timedelta(microseconds=1))
    around = (noon + n * MINUTE for n in range(-36 * 60, 36 * 60))
    shown = ((instant, _local(zone, instant)) for instant in around)
    return [(instant, f"{local:%H:%M}") for instant, local in shown if local.date() == day]


def moment_of(zone: str, day: date, clock: str) -> Instant:
    """The first minute of a local day at which the clock shows this time or, in the gap, a later one."""
    return next(instant for instant, shown in minutes_of(zone, day) if shown >= clock)


@dataclass
class NaiveTask:
    """One task as the plan words it, in one zone; intervals in minutes."""

    zone: str
    grace: int = 60
    every: int | None = None
    quiet: tuple[str, str] | None = None
    times: tuple[str, ...] = ()
    early: int = 60

    def days(self, around: Instant) -> list[date]:
        """The days around a moment that may matter."""
        day = _local(self.zone, around).date()
        return [day + timedelta(days=n) for n in range(-4, 5)]

    def span(self, instant: Instant) -> tuple[Instant, Instant] | None:
        """The quiet span that holds an instant."""
        for day in self.days(instant) if self.quiet else ():
            start, end = self.quiet  # type: ignore[misc]
            after = day + timedelta(days=1) if end < start else day
            begin, stop = moment_of(self.zone, day, start), moment_of(self.zone, after, end)
            if begin <= instant < stop:
                return begin, stop
        return None

    def by_hours(self, start: Instant, doings: list[Instant]) -> Instant:
        """The due of a task by hours."""
        assert self.every is not None
        done = max(doings, default=start)
        due = done + self.every * MINUTE
        span = self.span(due)
        if span is None:
            return due
        is_recent = span[0] - done < self.every * MINUTE / 2
        return span[1] if is_recent else span[0]

    def by_times(self, start: Instant, doings: list[Instant], now: Instant) -> Instant:
        """The slot that is due."""
        slots = sorted({moment_of(self.zone, day, each) for day in self.days(now) for each in self.times})
        early = self.early * MINUTE
        satisfied = {
            slot: any(slot - early <= done < following - early for done in doings)
            for slot, following in pairwise(slots)
        }
        asked = [slot for slot in slots if slot >= start]
        opened = [slot for slot in asked if slot - early <= now]
        if opened and not satisfied[opened[-1]]:
            return opened[-1]
        return next(slot for slot in asked if not opened or slot > opened[-1])

    def due(self, start: Instant, doings: list[Instant], now: Instant) -> tuple[Instant, Instant, str]:
        """When it is due, from when late, and its state."""
        by_hours = self.every is not None
        due = self.by_hours(start, doings) if by_hours else self.by_times(start, doings, now)
        late = max(due + self.grace * MINUTE, start + self.grace * MINUTE)
        span = self.span(late) if by_hours else None
        late = span[1] if span else late
        if now >= late:
            return due, late, "late"
        if now >= due:
            return due, late, "due"
        return due, late, "soon" if due - now <= 60 * MINUTE else "later"
