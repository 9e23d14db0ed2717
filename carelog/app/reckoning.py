"""The time that is reckoned with: this computer's clock, unless what was written here shows it to be wrong.

A clock that lost its battery comes back in 2010 or in 2040. No care is filed under that day: what was written
before, a clock that only ever goes on, and the answer to “What time is it?” decide.
"""

import json
import threading
import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from carelog import paths
from carelog.domain.instant import DAY_24_H, HOUR, MINUTE, Instant

if TYPE_CHECKING:
    from carelog.app.ports import Clock
    from carelog.domain.entry import Entry, Json

SLACK = 15 * MINUTE
"""Clocks that agree within this are right; the same span makes an entry's time doubtful."""
LONG_AWAY = 60 * DAY_24_H
"""A start so long after the last entry is asked about: the clock may have come back years ahead."""
SAID_AS_NOW = 3 * HOUR
"""A time chosen as “so many minutes ago” moves with the clock; an earlier one was named, and stays."""
KEPT_EACH = MINUTE


class Doubt(NamedTuple):
    """The clock isn't believed: what it shows, what was last written here, the time taken until then."""

    shown: Instant
    written: Instant
    taken: Instant
    is_jump: bool = False


class _State:
    """What is kept between two starts, of this installation, outside every record."""

    def __init__(self) -> None:
        self.written: Instant = 0
        self.shown: Instant = 0
        self.offset: Instant = 0
        self.believed: Instant = 0
        self.correction: Instant | None = None
        self.boot = ""
        """Since when the computer is on: while it is the same, the steady clock goes on between starts."""
        self.steady: Instant = 0
        """What the steady clock showed when the clock showed `shown`."""
        self.taken: Instant | None = None
        """The time that was reckoned with then, where the clock wasn't believed."""
        self.has_jumped = False
        self.owed: dict[str, Instant] = {}
        """By the id of an entry taken in doubt, what the clock showed less the time that was taken."""
        self.asked: list[str] = []
        """Entries that were taken in doubt and whose time only a person can know."""


class Reckoning:
    """A clock over this computer's own; times are instants (µs since 1970, UTC).

    Without a doubt and without an answer it shows what the computer's clock shows. Summer time and other
    zones don't concern it: it compares instants only.
    """

    def __init__(
        self, clock: "Clock", file: Path, steady: Callable[[], Instant] | None = None, boot: str = ""
    ) -> None:
        """`steady` is a clock that only goes on, asleep or awake; `file` keeps what another start needs.

        `boot` names the time since the computer was switched on, over which `steady` goes on; empty where
        that can't be known: then a clock that was set while no window was open is seen only if it is behind.
        """
        self._lock = threading.RLock()  # the window asks, the writer's thread witnesses
        self._clock, self._file, self._boot = clock, file, boot
        self._steady = steady or steady_now
        self._state = _read(file)
        self._kept_at: Instant = 0
        self._watched: tuple[Instant, Instant] | None = None
        self._taken: tuple[Instant, Instant] | None = None
        self._has_jumped = False
        self._paid: set[str] = set()
        shown = clock.now()
        if boot and boot == self._state.boot and self._steady() >= self._state.steady:
            self._go_on_from_before()
        else:
            self._drop_old_answer(shown)
            self._ask_about_owed(shown)
        self.now()
        if self._taken is None and self._speaks_against(shown):
            self._taken = self._last(), self._steady()

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
        """From now on hold the clock against the steady one too: the program stays open."""
        with self._lock:
            if self._watched is None:
                self._watched = self._clock.now(), self._steady()
            self.now()
            self._keep()

    def doubt(self) -> Doubt | None:
        """Why the clock isn't believed; None where nothing speaks against it."""
        with self._lock:
            now, shown = self.now(), self._clock.now()
            if self._taken is None:
                return None
            return Doubt(shown, self._state.written, now, self._has_jumped)

    def settle(self, now: Instant) -> None:
        """Somebody said what time it is: from then on that is reckoned with, until the clock agrees."""
        with self._lock:
            state, offset = self._state, now - self._clock.now()
            self._taken, self._has_jumped = None, False
            state.correction = offset
            state.offset = offset if abs(offset) > SLACK else 0
            state.written, state.believed = min(state.written, now), now
            self._keep()

    def witness(self, entries: "Iterable[Entry]") -> None:
        """Entries were saved here: what was recorded just now says how far the time has come."""
        with self._lock:
            now, state = self.now(), self._state
            own = [each for each in entries if abs(each.recorded_at - now) <= SLACK]
            if not own:
                return
            if self.doubt() is not None:
                if state.correction is not None:  # what was owed before is known by now, and isn't paid yet
                    state.asked, state.owed = [*state.asked, *state.owed], {}
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

    def asked(self) -> Sequence[str]:
        """The entries that stand at a wrong time, of which nobody but a person can say when that was."""
        with self._lock:
            return () if self._taken is not None else tuple(self._state.asked)

    def ask_about(self, ids: Iterable[str]) -> None:
        """These entries were written while the clock was wrong, by how much isn't known."""
        with self._lock:
            known = {*self._state.asked, *self._state.owed}
            new = [each for each in ids if each not in known]
            if new:
                self._state.asked += new
                self._keep()

    def paid(self, ids: Iterable[str]) -> None:
        """These entries stand at their right time now."""
        with self._lock:
            self._paid.update(ids)
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

    def _speaks_against(self, shown: Instant) -> bool:
        return self._is_behind(shown) or self._is_far_ahead(shown)

    def _go_on_from_before(self) -> None:
        """The computer wasn't switched off since: the steady clock says what the clock should show."""
        state = self._state
        self._watched = state.shown, state.steady
        if state.taken is not None:
            self._taken, self._has_jumped = (state.taken, state.steady), state.has_jumped

    def _ask_about_owed(self, shown: Instant) -> None:
        """What was taken in doubt before the computer was switched off, where the clock didn't just go on."""
        state = self._state
        went_on = self._speaks_against(shown) and shown >= state.shown - SLACK
        if state.owed and state.correction is None and not went_on:
            state.asked, state.owed = [*state.asked, *state.owed], {}

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
            self._keep()

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
        state, beside = self._state, _read(self._file)  # a command may have taken entries beside the window
        owed, asked = {**beside.owed, **state.owed}, dict.fromkeys([*beside.asked, *state.asked])
        state.asked = [each for each in asked if each not in self._paid]
        state.owed = {each: lag for each, lag in owed.items() if each not in self._paid and each not in asked}
        state.shown, self._kept_at = self._clock.now(), state.written
        state.boot, state.steady, state.has_jumped = self._boot, self._steady(), self._has_jumped
        state.taken = self._gone_on(self._taken) if self._taken is not None else None
        try:
            paths.replace_private(self._file, json.dumps(vars(self._state)).encode())
        except OSError:
            return  # care is saved all the same; the next start has less to compare with


def steady_now() -> Instant:
    """Microseconds on a clock that nobody sets; where there is one, it goes on in the computer's sleep."""
    for name in ("CLOCK_BOOTTIME", "CLOCK_MONOTONIC"):
        if hasattr(time, name):
            return time.clock_gettime_ns(getattr(time, name)) // 1000
    return time.monotonic_ns() // 1000


def this_boot() -> str:
    """A name for the time since this computer was switched on; empty where the system has none."""
    try:
        return Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
    except (OSError, ValueError):
        return ""


def _read(file: Path) -> _State:
    state = _State()
    try:
        found = json.loads(paths.read_kept(file))
    except (OSError, ValueError, RecursionError):
        return state
    if isinstance(found, dict):
        vars(state).update(_usable(found))
    return state


def _usable(found: "Mapping[str, Json]") -> "dict[str, Json]":
    """The values that are what they should be; the rest stands at its default."""
    numbers = ("written", "shown", "offset", "believed", "steady", "taken", "correction")
    usable: dict[str, Json] = {name: found[name] for name in numbers if _is_instant(found.get(name))}
    owed, asked, boot = found.get("owed"), found.get("asked"), found.get("boot")
    if isinstance(owed, dict) and all(map(_is_instant, owed.values())):
        usable["owed"] = owed
    if isinstance(asked, list) and all(isinstance(each, str) for each in asked):
        usable["asked"] = asked
    if isinstance(boot, str):
        usable["boot"] = boot
    return {**usable, "has_jumped": found.get("has_jumped") is True}


def _is_instant(value: object) -> bool:
    """A whole number that no sum of two of them makes a year that can't be written."""
    return type(value) is int and abs(value) < 1 << 56
