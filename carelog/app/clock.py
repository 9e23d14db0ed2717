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


_SAID_IN = (
    "/etc/localtime",
    "/etc/timezone",
    "/var/db/zoneinfo",
    "/etc/sysconfig/clock",
    "/etc/conf.d/clock",
)
"""Where a system says its zone, as a link or a file; Windows says it elsewhere."""


class SystemClock:
    """The present instant and the computer's IANA zone."""

    def __init__(self) -> None:
        self._zone = ""
        self._asked_at: Instant | None = None
        self._said: object = None

    def now(self) -> Instant:
        """Microseconds since 1970 in UTC."""
        return time.time_ns() // _MICROSECOND

    def zone(self) -> str:
        """The computer's zone, asked for again after a minute; empty when it can't be told."""
        now = self.now()
        if self._asked_at is None or not 0 <= now - self._asked_at < _ZONE_HOLDS:
            before, self._said, self._asked_at = self._said, _said(), now
            if before is None or before != self._said or not self._zone:
                self._zone = _zone_name()
        return self._zone


def _said() -> object:
    """What is another where the zone may be another; None: nothing here tells, and it is read each time."""
    found = [_state_of(each) for each in _SAID_IN]
    return (os.environ.get("TZ"), found) if any(found) else None


def _state_of(path: str) -> object:
    """What is another once a file was written or replaced, or a link leads elsewhere."""
    try:
        own, led_to = os.lstat(path), os.stat(path)
    except OSError:
        return None
    return own.st_ino, own.st_ctime_ns, led_to.st_dev, led_to.st_ino, led_to.st_ctime_ns


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
