"""One window a record: the lock and the bell of the record that is shown; another record has its own."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from carelog.app.lock import WindowLock
from carelog.text import say

if TYPE_CHECKING:
    from carelog.domain.moment import Instant
    from carelog.paths import Places
    from carelog.ui.only import Doorbell


class Door:
    """Held by this window from its start, and changed for another when another record is opened in it."""

    def __init__(self, places: "Places", now: "Callable[[], Instant]", show: Callable[[], None]) -> None:
        """`show` brings the window to the front when somebody starts the program again."""
        self._places = places
        self._now = now
        self._show = show
        self.lock: WindowLock | None = None
        self._bell: Doorbell | None = None

    def listen(self, record: Path) -> None:
        """Answer second starts by coming to the front."""
        from carelog.ui.only import Doorbell

        if self._bell is not None:
            self._bell.close()
        self._bell = Doorbell(record, self._show)

    def enter(self, record: Path) -> str:
        """Take this record's lock in place of the one before; why not, when another window has it."""
        lock = WindowLock(self._places.lock(record))
        if self.lock is not None and self.lock.path == lock.path:
            return ""
        if lock.take(self._now()) is not None:
            return say("Another window shows “{name}”.").format(name=record.name)
        if self.lock is not None:
            self.lock.release()
        self.lock = lock
        self.listen(record)
        return ""

    def leave(self) -> None:
        """The window closes."""
        if self._bell is not None:
            self._bell.close()
        if self.lock is not None:
            self.lock.release()
