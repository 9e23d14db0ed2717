"""What was read of a record, gone through once more for the flags of one part of it after another."""

from collections.abc import Iterator, Sequence

from carelog.analysis.flags.life import NEVER
from carelog.analysis.flags.statistics import Whole
from carelog.domain.entry import Entry
from carelog.domain.moment import Instant

Step = tuple[Instant, Sequence[Entry], frozenset[str]]


class Onward:
    """What was read, gone through from its beginning on, a moment at a time."""

    def __init__(self, whole: Whole, taken: Iterator[Step]) -> None:
        """`whole` at the beginning, and what it is to take in."""
        self.stop: Instant = -NEVER
        self._whole, self._steps = whole, taken
        self._next = next(taken, None)

    def until(self, stop: Instant) -> Whole:
        """All that became known before a moment, which only goes on, and what time alone did before it."""
        while self._next is not None and self._next[0] < stop:
            self._whole.take(*self._next)
            self._next = next(self._steps, None)
        self._whole.pass_time(stop)
        self.stop = stop
        return self._whole
