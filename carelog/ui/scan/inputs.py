"""Scanning and resting the pointer, made when they are first wanted."""

import time
from typing import TYPE_CHECKING

from carelog.ui.preferences import Preferences
from carelog.ui.slips import Slips
from carelog.ui.window import Window

if TYPE_CHECKING:
    from carelog.ui.scan.dwell import Dwell
    from carelog.ui.scan.scanner import Scanner


def running_ms() -> int:
    """A time in ms that only goes on."""
    return time.monotonic_ns() // 1_000_000


class Inputs:
    """Both follow the preferences; a window without them loads nothing of them."""

    def __init__(self, window: Window, slips: Slips, preferences: Preferences) -> None:
        self._window = window
        self._slips = slips
        self._preferences = preferences
        self.scanner: Scanner | None = None
        self._dwell: Dwell | None = None
        preferences.when_changed.append(self.follow)
        window.when_closed.append(self._end)
        self.follow()

    def follow(self) -> None:
        """Begin, change or end them as the preferences say."""
        now = self._preferences.now
        if self.scanner is None and now.has_scanning:
            from carelog.ui.scan.scanner import Scanner

            self.scanner = Scanner(self._window, self._slips, running_ms)
        if self.scanner is not None:
            self.scanner.follow(now)
        if self._dwell is None and now.dwell:
            from carelog.ui.scan.dwell import Dwell

            self._dwell = Dwell(self._window)
        if self._dwell is not None:
            self._dwell.follow(now.dwell)

    def toggle(self) -> None:
        """The key: begin to scan, stop, or go on."""
        if not self._preferences.now.has_scanning:
            self._preferences.change(has_scanning=True)
        elif self.scanner is not None:
            self.scanner.toggle()

    def _end(self) -> None:
        if self.scanner is not None:
            self.scanner.end()
        if self._dwell is not None:
            self._dwell.follow(0)
