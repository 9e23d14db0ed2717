"""The days that can still change what is noticed, kept up to date entry by entry."""

from bisect import bisect_left, bisect_right, insort
from collections.abc import Iterable, Sequence
from datetime import date

from carelog.analysis.flags.ledger import Shift
from carelog.analysis.in_force import Held
from carelog.analysis.usual.day import (
    BLOCKS,
    CARE,
    Day,
    Fact,
    Loss,
    Span,
    counted_kind,
    covered,
    edges_of,
    ranks,
    unrecorded,
)
from carelog.analysis.usual.losses import CUFF_KINDS, CuffPoint, cuff_point, losses
from carelog.analysis.usual.measure import read
from carelog.analysis.usual.standing import BESIDE_THE_DAYS, Restart, restarts, spans, unwritten
from carelog.domain.moment import Home, Instant
from carelog.domain.plan import Plan
from carelog.domain.turn import give_way

FIRST_DAY = 3  # the edges of days before it are no times that exist: they have its edges
KEPT_DAYS = 125  # days, and recorded days: 111 that take part, and 14 that corrections may take
REFERENCE_SPAN = 84  # days in which a slow drift's reference is looked for
REFERENCE_KEPT = 98
NEVER = 1 << 40


class Diary:
    """Facts by day of the last days and of the drift's reference, and what stands beside the days."""

    def __init__(self) -> None:
        self.home = Home("UTC")
        self.days: dict[int, Day] = {}
        self.presence: list[Instant] = []
        self.points: list[CuffPoint] = []
        self.recorded: list[int] = []
        self.stands: dict[str, Held] = {}
        self.plans: Sequence[Plan] = ()
        self.restarts: list[Restart] = []
        self.ill: list[Span] = []
        self.away: list[Span] = []
        self.dirty = NEVER
        self.flipped = NEVER  # the first day that became recorded, or is no longer
        self.fresh: list[Fact] = []
        self.matters = True  # whether what came since the last judging can speak for a change
        self._near: tuple[Instant, Instant, int] = (0, 0, 0)
        self.oldest = -NEVER
        self._facts: dict[str, Fact] = {}
        self._points: dict[str, CuffPoint] = {}
        self._covered: dict[int, list[float]] = {}
        self._losses: dict[int, list[Loss]] = {}

    def take(self, shifts: Iterable[Shift], home: Home, plans: Sequence[Plan]) -> None:
        """Take what became known at one moment; `dirty` is the first day that may look different now."""
        if home.name != self.home.name:
            self._move(home)
            self.matters = True
        stands = False
        for shift in shifts:
            give_way()
            self._drop(shift.root)
            if shift.kind in BESIDE_THE_DAYS:
                stands = True
                self.stands.pop(shift.root, None)
                if shift.after is not None:
                    self.stands[shift.root] = shift.after
            if shift.after is not None:
                self._place(shift.root, shift.after)
        if stands:
            self.matters = True
            self._restand(plans)

    def _drop(self, first: str) -> None:
        fact = self._facts.pop(first, None)
        if fact is not None:
            day = self._day_of(fact.time)
            day.take(fact)
            self._count(day, fact, -1)
            self.matters = True
            self.presence.pop(bisect_left(self.presence, fact.time))
            self._touch_around(day, fact.time)
        point = self._points.pop(first, None)
        if point is not None:
            self.points.pop(bisect_left(self.points, point))
            self._touch(self.ordinal(point.time))

    def _place(self, first: str, held: Held) -> None:
        entry, time = held.entry, held.time
        ordinal = self.ordinal(time)
        if ordinal < self.oldest and not self._is_reference(ordinal):
            return
        kind = counted_kind(entry.kind, entry.details)
        found = ranks(kind, entry.details), read(kind, entry.details)
        fact = Fact(time, first, entry.id, entry.by, kind, *found)
        day = self.day(ordinal)
        self._facts[first] = fact
        day.put(fact)
        self._count(day, fact, 1)
        insort(self.presence, time)
        self.fresh.append(fact)
        self.matters = self.matters or fact.is_suction or any(found)
        self._touch_around(day, time)
        if entry.kind in CUFF_KINDS:
            point = cuff_point(time, first, entry.id, entry.kind, entry.details)
            if point is not None:
                self._points[first] = point
                self.matters = True
                insort(self.points, point)

    def _count(self, day: Day, fact: Fact, change: int) -> None:
        """Keep which days are recorded: those with an entry of care in force."""
        if fact.kind not in CARE:
            return
        was, day.care = day.care, day.care + change
        if bool(was) == bool(day.care):
            return
        if day.care:
            insort(self.recorded, day.ordinal)
        else:
            self.recorded.remove(day.ordinal)
        self.flipped = min(self.flipped, day.ordinal)

    def _touch(self, ordinal: int) -> None:
        self.dirty = min(self.dirty, ordinal)
        for kept in (self._covered, self._losses):
            if kept:
                for near in (ordinal - 1, ordinal, ordinal + 1, ordinal + 2):
                    kept.pop(near, None)

    def _touch_around(self, day: Day, moment: Instant) -> None:
        """The gap before the first entry of a day reaches into the day before."""
        is_first = not day.facts or day.facts[0].time >= moment
        self._touch(day.ordinal - is_first)

    def _restand(self, plans: Sequence[Plan]) -> None:
        stands = self.stands.values()
        self.plans = plans
        anew = restarts(plans, stands)
        for restart in {*self.restarts} ^ {*anew}:
            start = self.ordinal(restart.time)
            self._touch(start)
            self.flipped = min(self.flipped, start)
        self.restarts = anew
        ill, away = spans(stands, "ill"), [*spans(stands, "stay"), *unwritten(stands)]
        for before, after in ((self.ill, ill), (self.away, away)):
            for span in {*before} ^ {*after}:
                start = self.ordinal(span[0])
                self._touch(start)
                self.flipped = min(self.flipped, start)
                self._covered.clear()
        self.ill, self.away = ill, away

    def _move(self, home: Home) -> None:
        """The household's clock has changed: every kept fact gets its new day."""
        facts = list(self._facts.values())
        self.home, self.days, self._covered, self._losses = home, {}, {}, {}
        self._near, self.recorded = (0, 0, 0), []
        for fact in facts:
            day = self._day_of(fact.time)
            day.put(fact)
            self._count(day, fact, 1)
        self.dirty = self.flipped = -NEVER

    def ordinal(self, moment: Instant) -> int:
        """The number of the local day that holds a moment."""
        start, end, found = self._near
        if not start <= moment < end:
            found = self.home.local(moment).toordinal()
            edges = self.day(found).edges
            self._near = edges[0], edges[-1], found
        return found

    def day(self, ordinal: int) -> Day:
        """A day by its number, made when first asked for."""
        found = self.days.get(ordinal)
        if found is None:
            here = date.fromordinal(max(ordinal, FIRST_DAY))
            found = self.days[ordinal] = Day(ordinal, edges_of(self.home, here))
        return found

    def _day_of(self, moment: Instant) -> Day:
        return self.day(self.ordinal(moment))

    def last_day(self) -> int:
        """The day of the newest entry."""
        return self.ordinal(self.presence[-1]) if self.presence else -NEVER

    def recorded_days(self, until: int) -> int:
        """How many recorded days there are up to and with a day, of those that are kept."""
        return bisect_right(self.recorded, until)

    def recorded_between(self, first: int, end: int) -> Sequence[int]:
        """The recorded days from one on and before another."""
        return self.recorded[bisect_left(self.recorded, first) : bisect_left(self.recorded, end)]

    def reference_start(self, before: Instant) -> int | None:
        """The day on which the slow drift's reference begins: after the newest restart, else the first."""
        for each in reversed(self.restarts):
            if each.time < before and "suction" in each.groups:
                return self.ordinal(each.time) + 1
        return self.recorded[0] if self.recorded else None

    def _is_reference(self, ordinal: int) -> bool:
        """Whether a day may belong to a reference, now or when what restarted the count is corrected."""
        return _lies_after(self._reference_starts(), ordinal)

    def _reference_starts(self) -> list[int]:
        first = self.recorded[:1] or [NEVER]
        restarted = [self.ordinal(each.time) for each in self.restarts if "suction" in each.groups]
        return [*first, *restarted]

    def covered(self, day: Day, now: Instant) -> list[float]:
        """The recorded share of each time of day up to now."""
        kept = self._covered.get(day.ordinal)
        if kept is not None and now >= day.edges[-1]:
            return kept
        found, is_final = self._cover(day, now)
        if is_final:
            self._covered[day.ordinal] = found
        return found

    def _cover(self, day: Day, now: Instant) -> tuple[list[float], bool]:
        start, end = day.edges[0], day.edges[-1]
        low, high = bisect_left(self.presence, start), bisect_left(self.presence, end)
        times = self.presence[low:high]
        before = self.presence[low - 1] if low else None
        after = self.presence[high] if high < len(self.presence) else None
        if after is None and now < (times[-1] if times else start):
            return [0.0] * BLOCKS, False
        gaps = unrecorded(times, before, after, now)
        away = [span for span in self.away if span[0] < end and span[1] > start]
        found = covered(day.edges, _joined([*gaps, *away]) if away else gaps, now)
        return found, after is not None and now >= end

    def losses(self, day: Day) -> list[Loss]:
        """The cuff's losses that ended on a day."""
        found = self._losses.get(day.ordinal)
        if found is None:
            found = self._losses[day.ordinal] = losses(self.points, day.edges[0], day.edges[-1])
        return found

    def is_ill(self, day: Day) -> bool:
        """Whether the day lies in an illness, from the day of its start to that of its end."""
        return any(start < day.edges[-1] and end >= day.edges[0] for start, end in self.ill)

    def is_away(self, day: Day) -> bool:
        """Whether a stay, or a time in which nothing was written down, touches the day."""
        return any(start < day.edges[-1] and end > day.edges[0] for start, end in self.away)

    def prune(self, today: int) -> None:
        """Let go of what can no longer change anything."""
        before = self.recorded[: self.recorded_days(today)]
        oldest = min(today - KEPT_DAYS, before[-KEPT_DAYS] if len(before) >= KEPT_DAYS else NEVER)
        if oldest <= self.oldest or len(before) < KEPT_DAYS:
            return
        self.oldest = oldest
        starts = self._reference_starts()
        gone = {each for each in self.days if each < oldest and not _lies_after(starts, each)}
        for kept in (self._covered, self._losses):
            for ordinal in [each for each in kept if each in gone]:
                del kept[ordinal]
        for ordinal in sorted(gone):
            self._let_go(self.days.pop(ordinal))
        self.recorded = [each for each in self.recorded if each not in gone]

    def _let_go(self, day: Day) -> None:
        for fact in day.facts:
            self._facts.pop(fact.chain, None)
        start, end = day.edges[0], day.edges[-1]
        del self.presence[bisect_left(self.presence, start) : bisect_left(self.presence, end)]
        low, high = (bisect_left(self.points, edge, key=_time) for edge in (start, end))
        for point in self.points[low:high]:
            self._points.pop(point.chain, None)
        del self.points[low:high]


def _lies_after(starts: Sequence[int], ordinal: int) -> bool:
    """Whether a day lies before the first start, or so near after one that a reference may hold it."""
    is_first = ordinal < starts[0]
    return is_first or any(start <= ordinal < start + REFERENCE_KEPT for start in starts)


def _time(point: CuffPoint) -> Instant:
    return point.time


def _joined(spans: Iterable[Span]) -> list[Span]:
    """Spans without overlaps."""
    found: list[Span] = []
    for start, end in sorted(spans):
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((start, end))
    return found
