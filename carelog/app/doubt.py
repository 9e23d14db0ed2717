"""What is said of a clock that isn't believed, and what is put right once the time is known."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from carelog.analysis.in_force import Reading
from carelog.analysis.times import clock, full_day
from carelog.app.logbook import Logbook
from carelog.app.ports import FAR, Record
from carelog.app.reckoning import SAID_AS_NOW, SLACK, Doubt, Reckoning
from carelog.domain.moment import Home, Instant
from carelog.text import mark, say

_BEHIND = mark(
    "This computer's clock shows {shown}. Something was written here on {written} already. "
    "Please check the computer's date and time."
)
_AHEAD = mark(
    "This computer's clock shows {shown}. The last entry from here is of {written}. "
    "Please check the computer's date and time."
)
_JUMPED = mark(
    "This computer's clock has jumped: it shows {shown}. By the time gone by it would be {taken}. "
    "Please check the computer's date and time."
)
_TAKEN = mark("The entry is kept as of {taken}. The window will ask for the time and move it.")
_REASON = mark("the computer's clock was wrong")


def sentence(doubt: Doubt, zone: str) -> str:
    """Both times, on this computer's own zone's clock, and what to do."""
    told = _told_in(zone)
    words = _JUMPED if doubt.is_jump else _BEHIND if doubt.shown < doubt.written else _AHEAD
    return say(words).format(shown=told(doubt.shown), written=told(doubt.written), taken=told(doubt.taken))


def taken(doubt: Doubt, zone: str) -> str:
    """As of when an entry is taken that no window asks about at once, and what comes of it."""
    return say(_TAKEN).format(taken=_told_in(zone)(doubt.taken))


def _told_in(zone: str) -> Callable[[Instant], str]:
    home = Home(zone or "UTC")
    return lambda instant: f"{full_day(home.day(instant))}, {clock(home, instant)}"


def pay(reckoning: Reckoning, logbook: Logbook, record: Record) -> int:
    """Move what was taken in doubt to its right time; how many entries were moved.

    An entry whose time somebody named, hours before, stays at it. What lies in another record waits for that.
    """
    owed = reckoning.owed()
    chains = record.chain(list(owed))
    reading, here = Reading(chains), {each.id for each in chains}
    helds = {held.first.id: held for each in owed if (held := reading.get(each)) is not None}
    moved = [
        (held, owed[first])
        for first, held in helds.items()
        if first in owed and held.first.recorded_at - held.entry.at.instant <= SAID_AS_NOW
    ]
    logbook.move(moved, say(_REASON))
    reckoning.paid(each for each in owed if each in here)
    return len(moved)


@dataclass(frozen=True, slots=True)
class Answered:
    """Of the entries that are asked about: those of this record that stand as they were, and the others."""

    still: tuple[str, ...]
    answered: tuple[str, ...]


def standing(record: Record, asked: Sequence[str]) -> Answered:
    """Whose time nobody has put right yet; what was struck out, or has another time by now, is answered."""
    chains = record.chain(asked)
    reading, here = Reading(chains), {each.id for each in chains}
    still: list[str] = []
    answered: list[str] = []
    for each in asked:
        if each not in here:
            continue
        held = reading.get(each)
        is_as_it_was = held is not None and held.entry.at.instant == held.first.at.instant
        (still if is_as_it_was else answered).append(each)
    return Answered(tuple(still), tuple(answered))


def misdated(record: Record, now: Instant) -> list[str]:
    """The entries that were written later than now: by a clock that was ahead."""
    since = now + SLACK
    found = Reading(record.written(since, FAR)).held
    return [held.first.id for held in found if held.first.recorded_at >= since]
