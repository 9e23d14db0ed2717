"""The flags of now, kept up to date entry by entry: the same as a replay of the whole record at every moment.

A watch reads as much of the past as the rules need (`analysis.past`), once. What is written in order is then
taken in by itself. What comes late (from another computer, or with a clock that was wrong), or reaches back
behind what was read, makes it read that much again; nothing is kept between two starts.
"""

from collections.abc import Iterable, Iterator

from carelog.analysis.flags.ledger import Ledger
from carelog.analysis.flags.replay import groups
from carelog.analysis.flags.statistics import Whole
from carelog.analysis.past import PastWindow
from carelog.analysis.usual.comparison import Comparison, comparison
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Instant
from carelog.domain.record import Past
from carelog.kinds import named_or_unknown

SHOWN_FOR = 7 * DAY_24_H
"""An ended flag stays on the flags' page for 7 days."""
GROWS_FOR = 30 * DAY_24_H
"""So long what is written is added to what was read at first; then as much as is needed is read anew."""


class Watch:
    """The flags in force at a moment, and those that ended in the seven days before it.

    After each commit `add` what was saved or arrived from elsewhere; at each look `at(now)`. The first look
    reads the past, and so do the few after which what was read isn't enough.
    """

    def __init__(self, record: Past) -> None:
        """`record` is read at the first look, and seldom after."""
        self._record = record
        self._taken: tuple[Whole, PastWindow] | None = None
        self._read_at: Instant = 0
        self._is_ahead = False
        self._pending: dict[str, Entry] = {}
        self.comparison: Comparison | None = None
        """What stood beside the flags at the last look."""

    def add(self, entries: Iterable[Entry]) -> None:
        """Take in what was saved here or arrived from elsewhere; what is here already is passed over."""
        self._pending.update((entry.id, entry) for entry in entries)

    def at(self, now: Instant) -> list[Flag]:
        """The flags in force at a moment by what is known then, and those that ended within seven days.

        What claims to have been recorded later counts as recorded then, of doubtful time.
        """
        if self._taken is None or not self._go_on(*self._taken, now):
            self._taken = None  # it is let go before as much is read anew
            self._taken = self._read(now)
        whole, _ = self._taken
        self.comparison = comparison(whole.noticing)
        return whole.flags(now - SHOWN_FOR)

    def same_until(self, found: Iterable[Flag]) -> Instant:
        """The first moment at which time alone may change what the last look found."""
        if self._taken is None or self._is_ahead:
            return self._read_at
        over = [each.cleared_at + SHOWN_FOR for each in found if each.cleared_at is not None]
        return min([self._taken[0].next_change, self._read_at + GROWS_FOR, *over])

    def _read(self, now: Instant) -> tuple[Whole, PastWindow]:
        """Read as much of the past as the flags of now need."""
        self._pending.clear()
        window = PastWindow(self._record, now - SHOWN_FOR, live_now=now)
        whole = window.whole()
        window.let_go()
        self._read_at = now
        self._is_ahead = any(entry.recorded_at > now for entry in whole.replay.ledger.entries.values())
        return whole, window

    def _go_on(self, whole: Whole, window: PastWindow, now: Instant) -> bool:
        """Take in what is new; False where the past must be read for it."""
        if self._is_ahead or now < whole.now or now - self._read_at > GROWS_FOR:
            return False
        ledger = whole.replay.ledger
        new = [entry for each, entry in self._pending.items() if each not in ledger.entries]
        if any(_is_far(whole.replay.ledger, window.since, entry) for entry in new):
            return False
        found = groups([*new, *_targets(whole.replay.ledger, new)])
        for known, group in found:
            fresh = [entry for entry in group if entry.id in self._pending and entry.id not in ledger.entries]
            if fresh and not whole.now < known <= now:
                return False
            if fresh:
                whole.take(known, fresh)
        self._pending.clear()
        whole.pass_time(now + 1)
        return not window.lacks()


def _is_far(ledger: Ledger, since: Instant, entry: Entry) -> bool:
    """Whether an entry reaches back behind what was read, or to what isn't at hand."""
    target = ledger.entries.get(entry.amends or "")
    if (entry.amends is not None and target is None) or entry.id in ledger.waiting:
        return True
    times = [each.at.instant for each in (entry, target) if each is not None]
    return min(times) < since and named_or_unknown(entry.kind).is_frequent


def _targets(ledger: Ledger, new: Iterable[Entry]) -> Iterator[Entry]:
    """What new entries change of what is here: no change is known before what it changes."""
    for entry in new:
        target = ledger.entries.get(entry.amends or "")
        while target is not None:
            yield target
            target = ledger.entries.get(target.amends or "")
