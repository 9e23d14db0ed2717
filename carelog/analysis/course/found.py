"""The entries of a period by kind and by column, once for all rows."""

from bisect import bisect_left
from collections.abc import Sequence
from functools import cached_property

from carelog.analysis.course.axis import Axis, AxisColumn, axis
from carelog.analysis.in_force import Held
from carelog.analysis.recorded import is_care
from carelog.analysis.week import Review
from carelog.domain.flag import Flag

_NOTHING: frozenset[str] = frozenset()


class Gathered:
    """A period's entries in force; nothing after what is judged of it."""

    def __init__(self, review: Review, flags: Sequence[Flag] | None = None) -> None:
        """`review` may read more than the period: what is usual is learnt from the days before.

        `flags` are those of the period; None: not read yet.
        """
        self.review, self.flags = review, flags
        self._beyond: dict[str, frozenset[str]] = {}
        span, held = review.period, review.reading.held
        low = bisect_left(held, span.start, key=lambda each: each.time)
        high = bisect_left(held, min(span.end, span.judged), key=lambda each: each.time)
        self.held: Sequence[Held] = held[low:high]

    @cached_property
    def by_day(self) -> dict[str, list[list[Held]]]:
        """The entries of each kind by the number of their day."""
        found: dict[str, list[list[Held]]] = {}
        starts, count, day = self.review.period.starts, len(self.review.period.days), 0
        for held in self.held:
            while day + 1 < count and starts[day + 1] <= held.time:
                day += 1
            kind = held.entry.kind
            if kind not in found:
                found[kind] = [[] for _ in range(count)]
            found[kind][day].append(held)
        return found

    @cached_property
    def recorded(self) -> frozenset[int]:
        """The numbers of the days about which care was written down."""
        return frozenset(
            day
            for kind, days in self.by_day.items()
            if is_care(kind)
            for day, entries in enumerate(days)
            if entries
        )

    @cached_property
    def axis(self) -> Axis:
        """The columns."""
        return axis(self.review, self.recorded)

    def beyond(self, held: Held) -> frozenset[str]:
        """Which numbers of an entry lie outside the limits of its moment; several rows ask for one entry."""
        if held.entry.id not in self._beyond:
            outside = self.review.judging.outside(held)
            self._beyond[held.entry.id] = frozenset(each.field for each in outside) if outside else _NOTHING
        return self._beyond[held.entry.id]

    def days_of(self, kind: str) -> list[list[Held]]:
        """The entries of a kind, a list a day."""
        return self.by_day.get(kind) or [[] for _ in self.review.period.days]

    def of(self, kind: str, column: AxisColumn) -> list[Held]:
        """The entries of a kind in a column."""
        days = self.by_day.get(kind)
        return [held for day in days[column.first : column.last + 1] for held in day] if days else []
