"""The time that is reckoned with: this computer's clock, unless what was written here shows it to be wrong.

A clock that lost its battery comes back in 2010 or in 2040. No care is filed under that day: what was written
before, a clock that only ever goes on, and the answer to “What time is it?” decide.
"""

import json
import threading
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path

from carelog import paths
from carelog.app.ports import Clock
from carelog.domain.entry import Entry, Json
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Instant

SLACK = 15 * MINUTE
"""Clocks that agree within this are right; the same span makes an entry's time doubtful."""
LONG_AWAY = 60 * DAY_24_H
"""A start so long after the last entry is asked about: the clock may have come back years ahead."""
SAID_AS_NOW = 3 * HOUR
"""A time chosen as “so many minutes ago” moves with the clock; an earlier one was named, and stays."""
KEPT_EACH = MINUTE


@dataclass(frozen=True, slots=True)
class Doubt:
    """The clock isn't believed: what it shows, what was last written here, the time taken until then."""

    shown: Instant
    written: Instant
    taken: Instant
    is_jump: bool = False


@dataclass(slots=True)
class _State:
    """What is kept between two starts, of this installation, outside every record."""

    written: Instant = 0
    shown: Instant = 0
    offset: Instant = 0
    believed: Instant = 0
    correction: Instant | None = None
    owed: dict[str, Instant] = field(default_factory=dict)
    """By the id of an entry that was taken in doubt, what the clock showed less the time that was taken."""


class Reckoning:
    """A clock over this computer's own; times are instants (µs since 1970, UTC).

    Without a doubt and without an answer it shows what the computer's clock shows. Summer time and other
    zones don't concern it: it compares instants only.
    """

    def __init__(self, clock: Clock, file: Path, steady: Callable[[], Instant] | None = None) -> None:
        """`steady` is a clock that only goes on, asleep or awake; `file` keeps what another start needs."""
        self._lock = threading.RLock()  # the window asks, the writer's thread witnesses
        self._clock, self._file = clock, file
        self._steady = steady or steady_now
        self._state = _read(file)
        self._kept_at: Instant = 0
        self._watched: tuple[Instant, Instant] | None = None
        self._taken: tuple[Instant, Instant] | None = None
        self._has_jumped = False
        self._drop_old_answer(clock.now())

    def now(self) -> Instant:
        """The present instant, as far as it can be known."""
        with self._lock:
            shown = self._clock.now()
            if self._watched is not None:
                self._compare(shown)
            if self._taken is not None:
                return self._gone_on(self._taken)
            return shown + self._state.offset

    def reached(self) -> Instant:
        """The instant that the time has come to at least: never before what was written here.

        By a clock that is behind it a reader would see nothing of what was written since.
        """
        with self._lock:
            return max(self.now(), self._last()) if self._is_behind(self._clock.now()) else self.now()

    def zone(self) -> str:
        """The computer's zone."""
        return self._clock.zone()

    def watch(self) -> None:
        """From now on hold the clock against the steady one too, and take no time from a clock in doubt."""
        with self._lock:
            shown = self._clock.now()
            self._watched = shown, self._steady()
            if self._is_behind(shown) or self._is_far_ahead(shown):
                self._taken, self._has_jumped = (self._last(), self._steady()), False

    def doubt(self) -> Doubt | None:
        """Why the clock isn't believed; None where nothing speaks against it."""
        with self._lock:
            now, shown = self.now(), self._clock.now()
            if self._taken is not None:
                return Doubt(shown, self._state.written, now, self._has_jumped)
            if self._watched is None and (self._is_behind(shown) or self._is_far_ahead(shown)):
                return Doubt(shown, self._state.written, now)
            return None

    def settle(self, now: Instant) -> None:
        """Somebody said what time it is: from then on that is reckoned with, until the clock agrees."""
        with self._lock:
            state, offset = self._state, now - self._clock.now()
            self._taken = None
            state.correction = offset
            state.offset = offset if abs(offset) > SLACK else 0
            state.written, state.believed = min(state.written, now), now
            self._keep()

    def witness(self, entries: Iterable[Entry]) -> None:
        """Entries were saved here: what was recorded just now says how far the time has come."""
        with self._lock:
            now, state = self.now(), self._state
            own = [each for each in entries if abs(each.recorded_at - now) <= SLACK]
            if not own:
                return
            if self.doubt() is not None:
                state.correction = None
                state.owed.update(dict.fromkeys((each.id for each in own), self._clock.now() - now))
                self._keep()
                return
            state.written = max(state.written, *(each.recorded_at for each in own))
            if abs(state.written - self._kept_at) >= KEPT_EACH:
                self._keep()

    def owed(self) -> Mapping[str, Instant]:
        """The entries that were taken in doubt, by id, and by how much their time is to be moved (µs).

        Empty while nobody has said what time it is.
        """
        with self._lock:
            correction = self._state.correction
            if correction is None:
                return {}
            return {each: lag + correction for each, lag in self._state.owed.items()}

    def paid(self, ids: Iterable[str]) -> None:
        """These entries stand at their right time now."""
        with self._lock:
            for each in ids:
                self._state.owed.pop(each, None)
            self._keep()

    # Inside ---------------------------------------------------------------------------------------

    def _last(self) -> Instant:
        """How far the time is known to have come."""
        return max(self._state.written, self._state.believed)

    def _is_behind(self, shown: Instant) -> bool:
        return shown + self._state.offset < self._state.written - SLACK

    def _is_far_ahead(self, shown: Instant) -> bool:
        last = self._last()
        return last > 0 and shown + self._state.offset > last + LONG_AWAY

    def _drop_old_answer(self, shown: Instant) -> None:
        """A clock that was put right while the program was closed is believed again."""
        state = self._state
        was_set = state.offset > 0 or shown < state.shown - SLACK
        if state.offset and was_set and shown >= state.written - SLACK:
            state.offset = 0

    def _compare(self, shown: Instant) -> None:
        """Hold the clock against the steady one since the last time it was asked."""
        assert self._watched is not None
        expected = self._gone_on(self._watched)
        self._watched = shown, self._steady()
        if abs(shown - expected) <= SLACK:
            return
        state = self._state
        reckoned = self._gone_on(self._taken) if self._taken else expected + state.offset
        if self._agrees(shown, reckoned):
            self._taken, state.offset, state.correction = None, 0, shown - expected
            self._keep()
            return
        state.owed = {each: lag + shown - expected for each, lag in state.owed.items()}
        if self._taken is None:
            self._taken, self._has_jumped = (reckoned, self._steady()), True

    def _agrees(self, shown: Instant, reckoned: Instant) -> bool:
        """Whether a clock that moved is right now: by what was reckoned, or where a start knew no better."""
        if abs(shown - reckoned) <= SLACK:
            return True
        knew_no_better = self._taken is not None and not self._has_jumped
        return knew_no_better and 0 <= shown - self._last() <= LONG_AWAY

    def _gone_on(self, since: tuple[Instant, Instant]) -> Instant:
        instant, steady = since
        return instant + self._steady() - steady

    def _keep(self) -> None:
        self._state.shown, self._kept_at = self._clock.now(), self._state.written
        try:
            paths.replace_private(self._file, json.dumps(asdict(self._state)).encode())
        except OSError:
            return  # care is saved all the same; the next start has less to compare with


def steady_now() -> Instant:
    """Microseconds on a clock that nobody sets; where there is one, it goes on in the computer's sleep."""
    for name in ("CLOCK_BOOTTIME", "CLOCK_MONOTONIC"):
        if hasattr(time, name):
            return time.clock_gettime_ns(getattr(time, name)) // 1000
    return time.monotonic_ns() // 1000


def _read(file: Path) -> _State:
    try:
        found = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return _State()
    return _State(**_usable(found)) if isinstance(found, dict) else _State()


def _usable(found: Mapping[str, Json]) -> dict[str, Json]:
    """The values that are what they should be; the rest stands at its default."""
    numbers = {name: found.get(name) for name in ("written", "shown", "offset", "believed")}
    usable: dict[str, Json] = {
        name: value for name, value in numbers.items() if type(value) is int and abs(value) < 1 << 60
    }
    owed, correction = found.get("owed"), found.get("correction")
    if isinstance(owed, dict) and all(type(lag) is int for lag in owed.values()):
        usable["owed"] = owed
    if type(correction) is int:
        usable["correction"] = correction
    return usable
