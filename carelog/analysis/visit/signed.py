"""What a nurse signed, and what was written or changed about it afterwards.

A signature covers what had happened by then of its seven days. Of several over one day the newest counts:
whoever signs again has seen what was changed before.
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from carelog.analysis.in_force import Held, Reading, Withdrawn, known_from
from carelog.analysis.times import near
from carelog.domain.entry import Details, Entry
from carelog.domain.moment import DAY_24_H, YEARS, Home, Instant, Week
from carelog.kinds.visit import VISIT
from carelog.text import mark, say, say_n

LONGEST = 8 * DAY_24_H
"""Seven local days are never longer, whatever the clocks do."""
_ADDED = mark("written after these days were signed, {times}")
_CHANGED = mark("changed after these days were signed, {times}")


@dataclass(frozen=True, slots=True)
class Signature:
    """A visit in force that signed these days; `signed_at`: when that became known."""

    held: Held
    days: tuple[date, ...]
    start: Instant
    end: Instant
    signed_at: Instant

    @property
    def nurse(self) -> str:
        """Who signed."""
        return str(self.held.entry.details["nurse"])

    def covers(self, instant: Instant) -> bool:
        """Whether something that happened then was signed with them."""
        return self.start <= instant < min(self.end, self.signed_at)


@dataclass(frozen=True, slots=True)
class AfterSigning:
    """What was done to an entry after its day was signed, and when; `is_new`: it was written only then."""

    signature: Signature
    times: tuple[Instant, ...]
    is_new: bool

    @property
    def time(self) -> Instant:
        """The newest time."""
        return self.times[-1]

    def words(self, home: Home, beside: Instant) -> str:
        """As the first mark in the entry's row, before any that may be cut; `beside`: the row's own time."""
        times = ", ".join(dict.fromkeys(near(home, each, beside) for each in self.times))
        return say(_ADDED if self.is_new else _CHANGED).format(times=times)


class Signed:
    """The signatures of a record by the days they cover."""

    def __init__(self, signatures: Iterable[Signature] = ()) -> None:
        self.all = tuple(sorted(signatures, key=lambda each: (each.start, each.signed_at)))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Signed) and self.all == other.all

    def __hash__(self) -> int:
        return hash(tuple(each.held.entry.id for each in self.all))

    def covering(self, instant: Instant) -> Signature | None:
        """The newest signature that covers a moment."""
        first = bisect_right(self.all, instant - LONGEST, key=lambda each: each.start)
        last = bisect_right(self.all, instant, key=lambda each: each.start)
        found = [each for each in self.all[first:last] if each.covers(instant)]
        return max(found, key=lambda each: each.signed_at, default=None)

    def after(self, chain: Sequence[Entry]) -> AfterSigning | None:
        """What was done to a whole chain of changes since the newest signature that covers any of it.

        By when it became known, never by when it happened. What became known at the very moment of the
        signature counts as after it: nobody can say that the nurse had seen it.
        """
        if not self.all or chain[0].kind == VISIT.name:
            return None
        covering = [found for each in chain if (found := self.covering(each.at.instant)) is not None]
        newest = max(covering, key=lambda each: each.signed_at, default=None)
        if newest is None:
            return None
        known = known_from({each.id: each for each in chain})
        later = sorted(time for time in known.values() if time >= newest.signed_at)
        return AfterSigning(newest, tuple(later), len(later) == len(chain)) if later else None

    def of(self, days: Sequence[date]) -> Signature | None:
        """The newest signature of exactly these days."""
        return next((each for each in reversed(self._by_signing()) if each.days == tuple(days)), None)

    def touching(self, start: Instant, end: Instant) -> list[Signature]:
        """The signatures of any day between two instants, the oldest first."""
        return [each for each in self._by_signing() if each.start < end and each.end > start]

    def _by_signing(self) -> list[Signature]:
        return sorted(self.all, key=lambda each: each.signed_at)


NOT_SIGNED = Signed()


def signed(reading: Reading, home: Home | None = None) -> Signed:
    """What was signed, by the visits of a reading; `home` where it holds nothing that says the home zone."""
    return Signed(
        _signature(held, home or reading.home)
        for held in reading.of(VISIT.name)
        if held.entry.details.get("signed") is True and days_signed(held.entry.details)
    )


def days_signed(details: Details) -> tuple[date, ...]:
    """The seven days that a visit is about: those that end with `until`, else its week; empty: none."""
    if "until" in details:
        last = date.fromisoformat(details["until"])
    elif "week" in details:
        last = Week.read(details["week"]).monday() + timedelta(days=6)
    else:
        return ()
    if not YEARS[0] <= last.year <= YEARS[1]:
        return ()
    return tuple(last - timedelta(days=number) for number in range(6, -1, -1))


def _signature(held: Held, home: Home) -> Signature:
    days = days_signed(held.entry.details)
    known = known_from({each.id: each for each in held.chain})
    saying = [known[each.id] for each in held.chain if _signs(each, days)]
    return Signature(held, days, home.start_of(days[0]), home.end_of(days[-1]), min(saying))


def _signs(entry: Entry, days: tuple[date, ...]) -> bool:
    return entry.details.get("signed") is True and days_signed(entry.details) == days


def since_words(count: int) -> str:
    """How many entries changed since a signature or a sheet."""
    return say_n("Since then 1 entry was changed.", "Since then {count} entries were changed.", count).format(
        count=count
    )


def changed_since(found: Signed, rows: Iterable[Held | Withdrawn]) -> dict[str, AfterSigning]:
    """Of entries in force or struck out those that changed after signing, by the ids of their first ones."""
    told = ((each.first.id, found.after(each.chain)) for each in rows)
    return {name: after for name, after in told if after is not None}
