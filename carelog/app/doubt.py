"""What is said of a clock that isn't believed, and what is put right once the time is known."""

from carelog.analysis.in_force import Reading
from carelog.analysis.times import clock, full_day
from carelog.app.logbook import Logbook
from carelog.app.ports import Record
from carelog.app.reckoning import SAID_AS_NOW, Doubt, Reckoning
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
_REASON = mark("the computer's clock was wrong")


def sentence(doubt: Doubt, zone: str) -> str:
    """Both times, on this computer's own zone's clock, and what to do."""
    home = Home(zone or "UTC")

    def told(instant: Instant) -> str:
        return f"{full_day(home.day(instant))}, {clock(home, instant)}"

    words = _JUMPED if doubt.is_jump else _BEHIND if doubt.shown < doubt.written else _AHEAD
    return say(words).format(shown=told(doubt.shown), written=told(doubt.written), taken=told(doubt.taken))


def pay(reckoning: Reckoning, logbook: Logbook, record: Record) -> int:
    """Move what was taken in doubt to its right time; how many entries were moved.

    An entry whose time somebody named, hours before, stays at it.
    """
    owed = reckoning.owed()
    reading = Reading(record.chain(list(owed)))
    helds = {held.first.id: held for each in owed if (held := reading.get(each)) is not None}
    moved = [
        (held, owed[first])
        for first, held in helds.items()
        if first in owed and held.first.recorded_at - held.entry.at.instant <= SAID_AS_NOW
    ]
    logbook.move(moved, say(_REASON))
    reckoning.paid(owed)
    return len(moved)
