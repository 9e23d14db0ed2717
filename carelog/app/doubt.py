"""What is said of a clock that isn't believed."""

from carelog.analysis.times import clock, full_day
from carelog.app.reckoning import Doubt
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


def sentence(doubt: Doubt, zone: str) -> str:
    """Both times, on this computer's own zone's clock, and what to do."""
    home = Home(zone or "UTC")

    def told(instant: Instant) -> str:
        return f"{full_day(home.day(instant))}, {clock(home, instant)}"

    if doubt.is_jump:
        words = _JUMPED
    else:
        words = _BEHIND if doubt.shown < doubt.written else _AHEAD
    return say(words).format(shown=told(doubt.shown), written=told(doubt.written), taken=told(doubt.taken))
