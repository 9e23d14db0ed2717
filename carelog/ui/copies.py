"""Copies of the record made by the window: one a day, one at exit, and onto the medium that was chosen."""

import contextlib
from collections.abc import Callable
from typing import TYPE_CHECKING

from carelog.app.backups import Backups, Kept
from carelog.app.medium import copies_on, find
from carelog.domain.moment import MINUTE
from carelog.domain.trouble import Trouble
from carelog.text import say
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.parts import Parts
from carelog.ui.present import Present
from carelog.ui.slips import Slips

if TYPE_CHECKING:
    from carelog.app.drill import Drilled
    from carelog.app.ports import Record
    from carelog.ui.preferences import Preferences

PAUSE = 2 * MINUTE  # since the last press


class Copies:
    """Makes them in the writer's thread; how the last went stands in `said`."""

    def __init__(
        self, access: Access, present: Present, slips: Slips, parts: Parts, preferences: "Preferences"
    ) -> None:
        self._access = access
        self._present = present
        self._parts = parts
        self._slips = slips
        self._preferences = preferences
        self.said = ""
        self.newest: Kept | None = None
        self.when_changed: list[Callable[[], None]] = []
        self._is_asked = False

    def look(self) -> None:
        """Once a day of use, in a pause: make a copy when the newest is older than 24 h.

        A press just then would wait for it; and a window that closes leaves a copy in any case.
        """
        is_pause = self._present.now() - self._slips.pressed_at >= PAUSE
        if self._access.is_open() and is_pause and not self._is_asked and self._parts.back_up is not None:
            self._ask(is_forced=False)

    def make(self) -> None:
        """Make a copy now."""
        if not self._access.is_open() or self._parts.back_up is None:
            self._say(say("No copy can be made while the record isn't open."))
            return
        self._ask(is_forced=True)

    def _ask(self, *, is_forced: bool) -> None:
        self._is_asked = True
        self._access.act(
            lambda _logbook, record: self._made(record, is_forced=is_forced), self._on_made, self._say
        )

    def _made(self, record: "Record", *, is_forced: bool) -> "tuple[Kept | None, int]":
        """In the writer's thread: the newest copy, and when the last outside copy was made."""
        parts, outside = self._parts, 0
        assert parts.back_up is not None
        here = Backups(self._access.path, record.person(), parts.places.backups, parts.back_up, parts.clock)
        kept = here.make() if is_forced or here.is_due() else next(iter(here.kept()), None)
        medium = find(self._preferences.now.second_medium, parts.media())
        if medium is not None:
            there = Backups(self._access.path, record.person(), copies_on(medium), parts.back_up, parts.clock)
            if is_forced or there.is_due():
                outside = there.make().made_at
        return kept, outside

    def _on_made(self, made: "tuple[Kept | None, int]") -> None:
        self.newest, outside = made
        self._is_asked = False
        if outside:
            self._preferences.change(outside_at=outside)
        self._say("")
        self._try_to_come_back()

    def _try_to_come_back(self) -> None:
        """Once a month, in the reader's thread: whether the newest copy would bring the record back."""
        from carelog.app.drill import drill, is_due

        newest, restore, now = self.newest, self._parts.restore, self._present.now()
        if newest is None or restore is None or not is_due(self._preferences.now.drilled_at, now):
            return
        home = self._present.home()
        self._access.reader.ask(lambda: drill(newest, restore, home, now), self._on_drilled, self._say)

    def _on_drilled(self, done: "Drilled") -> None:
        self._preferences.change(drilled_at=done.at, drilled=done.words)
        self._say("" if done.is_good else done.words)

    def at_exit(self, record: "Record") -> None:
        """A copy when the window closes, while the record is still open."""
        if self._parts.back_up is not None:
            # A damaged or missing record was told of while the window was open; it still has to close.
            with contextlib.suppress(Trouble):
                self._made(record, is_forced=True)

    def words(self) -> str:
        """The line of the board: when the last copy outside this computer was made."""
        outside = self._preferences.now.outside_at
        if not self._access.is_open():
            return ""
        if not outside:
            return say("All copies lie on this computer.")
        when = times.near(self._present.home(), outside, self._present.now())
        return say("Last copy outside this computer: {when}").format(when=when)

    def _say(self, sentence: str) -> None:
        self._is_asked = False
        self.said = sentence
        for listener in self.when_changed:
            listener()
