"""Everything in the record about a period: one row for each entry, and what stands at its end."""

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from carelog.analysis.absence import Absence, absences, touched_days
from carelog.analysis.gaps import Gap, gaps
from carelog.analysis.in_force import Held, Reading, Withdrawn
from carelog.analysis.limits import Outside
from carelog.analysis.marks import row_marks, stray_marks, strays, withdrawn_marks
from carelog.analysis.outside import Judging
from carelog.analysis.period import Period
from carelog.analysis.plans import in_force
from carelog.analysis.recorded import is_care
from carelog.analysis.times import near
from carelog.analysis.visit.signed import Signed, signed
from carelog.domain.entry import Details, Entry
from carelog.domain.moment import Instant
from carelog.domain.paper import Usual
from carelog.domain.plan import Plan
from carelog.text import mark, say

_MOVED = mark("moved to {time}")


@dataclass(frozen=True, slots=True)
class Shown:
    """One entry as a period shows it; `held` is None for what is struck out or has no effect."""

    entry: Entry
    first: Entry
    held: Held | None
    day: int
    time: Instant
    marks: tuple[str, ...] = ()
    outside: tuple[Outside, ...] = ()

    @property
    def struck(self) -> bool:
        """Whether it counts for nothing."""
        return self.held is None


class Review:
    """A period looked at as a whole; `plans` in order of their `since`."""

    def __init__(
        self,
        reading: Reading,
        entries: Sequence[Entry],
        period: Period,
        plans: Sequence[Plan],
        usual: Usual | None = None,
    ) -> None:
        """`entries` are those the reading was made from: for changes without effect.

        `usual`: as far as whoever read the past of these entries has found it.
        """
        self.reading = reading
        self.period = period
        self.plans = plans
        self.usual = usual or {}
        self._entries = entries

    def plan_at(self, instant: Instant) -> Plan | None:
        """The plan in force at an instant."""
        return in_force(self.plans, instant)

    @cached_property
    def signed(self) -> Signed:
        """What nurses signed."""
        return signed(self.reading)

    @cached_property
    def judging(self) -> Judging:
        """Each entry in force against the limits of its own moment."""
        return Judging(self.reading)

    def limits_at(self, instant: Instant) -> Details:
        """The limits of the plan in force at an instant."""
        plan = self.plan_at(instant)
        limits: Details = plan.details.get("limits", {}) if plan else {}
        return limits

    @cached_property
    def rows(self) -> tuple[Shown, ...]:
        """One row for each entry of the period, in order of time."""
        found = [row for held in self._near() for row in self._of(held)]
        found += [self._struck(each) for each in self.reading.withdrawn if self._holds(each.entry)]
        found += [
            Shown(each, each, None, self._day(each.at.instant), each.at.instant, tuple(stray_marks()))
            for each in strays(self.reading, self._entries)
            if self._holds(each) and (self.period.known is None or each.recorded_at <= self.period.known)
        ]
        return tuple(sorted(found, key=lambda row: (row.time, row.entry.recorded_at, row.entry.id)))

    def _near(self) -> Iterator[Held]:
        """The entries in force that may have to do with the period: of its time, moved, or doubtful."""
        low = bisect_left(self.reading.held, self.period.start, key=lambda held: held.time)
        high = bisect_left(self.reading.held, self.period.end, key=lambda held: held.time)
        yield from self.reading.held[low:high]
        for part in (self.reading.held[:low], self.reading.held[high:]):
            yield from (held for held in part if held.doubtful or len(held.chain) > 1)

    @cached_property
    def held(self) -> tuple[Shown, ...]:
        """The rows of entries in force."""
        return tuple(row for row in self.rows if row.held is not None)

    @cached_property
    def last_known(self) -> Instant | None:
        """When an entry became known last, of those that what is past of the period may hold."""
        judged = self.period.judged
        return max((held.known for held in self.reading.held if held.known < judged), default=None)

    @cached_property
    def absences(self) -> tuple[Absence, ...]:
        """The stays and the gaps that touch what is past of the period, by their starts."""
        span = self.period
        return tuple(each for each in absences(self.reading) if each.touches(span.start, span.judged))

    @cached_property
    def absent(self) -> Mapping[int, bool]:
        """The numbers of the days that one of them touches, which no comparison counts: whether by a stay."""
        home, found = self.period.home, dict[int, bool]()
        for each in self.absences:
            days = touched_days(home, [each], self.period.days)
            for number, day in enumerate(self.period.days):
                if day in days:
                    found[number] = found.get(number, False) or each.is_stay
        return found

    @cached_property
    def silences(self) -> tuple[Gap, ...]:
        """The long stretches without any entry, but for those of which the record says why."""
        times = self.times_around
        if not times:
            return ()
        plan = self.plan_at(self.period.start) or self.plan_at(self.period.judged)
        return tuple(gaps(times, self.period, plan.quiet if plan else None, known=self.absences))

    @cached_property
    def times_around(self) -> list[Instant]:
        """The times of the period's entries, and of the nearest before and after it."""
        held = self.reading.held
        low = bisect_left(held, self.period.start, key=lambda each: each.time)
        high = bisect_left(held, self.period.end, key=lambda each: each.time)
        return [each.time for each in held[max(low - 1, 0) : high + 1]]

    def is_silent(self, start: Instant, end: Instant) -> bool:
        """Whether a long stretch without an entry touches the time between two instants."""
        return any(each.start < end and each.end > start for each in self.silences)

    @cached_property
    def recorded(self) -> frozenset[int]:
        """The numbers of the recorded days: those about which care was written down."""
        return frozenset(row.day for row in self.held if is_care(row.entry.kind))

    @cached_property
    def silent(self) -> frozenset[int]:
        """The numbers of the days that are past and of which nothing at all was written down."""
        span = self.period
        written = {row.day for row in self.held}
        ends = (*span.starts[1:], span.end)
        return frozenset(day for day, end in enumerate(ends) if end <= span.judged and day not in written)

    def of(self, kind: str) -> list[Shown]:
        """The rows of entries of a kind in force."""
        return self._by_kind.get(kind, [])

    @cached_property
    def _by_kind(self) -> dict[str, list[Shown]]:
        found: dict[str, list[Shown]] = {}
        for row in self.held:
            found.setdefault(row.entry.kind, []).append(row)
        return found

    def _holds(self, entry: Entry) -> bool:
        return self.period.holds(entry.at.instant)

    def _day(self, instant: Instant) -> int:
        return self.period.place(instant)

    def _of(self, held: Held) -> Iterator[Shown]:
        entry, period = held.entry, self.period
        at = entry.at.instant
        time = at if period.holds(at) else held.time
        if period.holds(time):
            is_day = len(period.days) == 1
            marks = tuple(row_marks(held, period.home, period.end, has_slips=is_day, signed=self.signed))
            yield Shown(entry, held.first, held, self._day(time), time, marks, self.judging.outside(held))
            return
        for each in held.chain:
            if self._holds(each) and not each.withdrawn:
                words = say(_MOVED).format(time=near(period.home, at, each.at.instant))
                yield Shown(each, held.first, None, self._day(each.at.instant), each.at.instant, (words,))
                return

    def _struck(self, struck: Withdrawn) -> Shown:
        at = struck.entry.at.instant
        marks = tuple(withdrawn_marks(struck, self.period.home, self.signed))
        return Shown(struck.entry, struck.first, None, self._day(at), at, marks)
