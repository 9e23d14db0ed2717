"""This computer's clock and zone, and new ids."""

import os
import time
import warnings
from typing import TYPE_CHECKING

from carelog.domain.instant import MINUTE, Instant

if TYPE_CHECKING:
    from carelog.domain.moment import Moment

_MICROSECOND = 1000  # in nanoseconds
_ZONE_HOLDS = MINUTE  # a travelling computer changes its zone while the window is open


class SystemClock:
    """The present instant and the computer's IANA zone."""

    def __init__(self) -> None:
        self._zone = ""
        self._asked_at: Instant | None = None

    def now(self) -> Instant:
        """Microseconds since 1970 in UTC."""
        return time.time_ns() // _MICROSECOND

    def zone(self) -> str:
        """The computer's zone, asked for again after a minute; empty when it can't be told."""
        now = self.now()
        if self._asked_at is None or not 0 <= now - self._asked_at < _ZONE_HOLDS:
            self._zone, self._asked_at = _zone_name(), now
        return self._zone


def _zone_name() -> str:
    import tzlocal

    from carelog.domain.moment import known_zone  # with the zone: a window is painted before it asks

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # two system files that disagree are the computer's own affair
        try:
            tzlocal.reload_localzone()
            name = tzlocal.get_localzone_name() or ""
        except (LookupError, OSError, ValueError):
            return ""
    return name if known_zone(name) else ""


def moment_in(zone: str, instant: Instant) -> "Moment":
    """The instant with the offset of a zone's clock; with UTC's where the zone isn't known."""
    from carelog.domain.moment import Home

    return Home(zone).moment(instant)


def new_ids(now: Instant) -> str:
    """A new UUID version 7 for an entry made now."""
    from carelog.domain.entry import new_id

    return new_id(now, os.urandom(10))
