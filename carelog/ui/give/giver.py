"""Gives the record out in a thread of its own, one file at a time: whoever reads meanwhile doesn't wait."""

import threading
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from carelog.domain.giving import GiveRequest
from carelog.domain.moment import Instant
from carelog.ui.access import Access
from carelog.ui.newest import Newest
from carelog.ui.worker import Worker

if TYPE_CHECKING:
    from carelog.app.ports import Record
    from carelog.ui.parts import Give

PATIENCE = 5  # s; a window that closes waits no longer for what is being stopped


class Giver:
    """What is asked for last is written; what was being written before is stopped, and leaves no file."""

    def __init__(self, access: Access, give: "Give", progress: Callable[[int], None]) -> None:
        """`progress` is given how many hundredths are written."""
        self._access = access
        self._give = give
        self._progress = progress
        self._newest = Newest()
        self._stop = threading.Event()
        self._hand: Worker | None = None
        access.when_ending.append(self._end)

    def give(
        self,
        request: GiveRequest,
        file: Path,
        now: Instant,
        then: Callable[[int], None],
        failed: Callable[[str], None],
    ) -> None:
        """Write the file; `then` is given how many entries it holds."""
        self._stop.set()
        stop = self._stop = threading.Event()
        asking = self._newest.ask()
        told = asking.only(self._progress)

        def progress(share: int) -> None:
            self._access.bridge.call(lambda: told(share))

        def job(record: "Record") -> int:
            return self._give(request, record, file, now, progress, stop.is_set)

        if self._hand is None:
            self._hand = Worker("giver", self._access.bridge, self._access.turn)
        self._access.read(job, asking.only(then), asking.only(failed), self._hand)

    def stop(self) -> None:
        """Stop what is being written: its asker is told so."""
        self._stop.set()

    def _end(self) -> None:
        self._stop.set()
        if self._hand is not None:
            self._hand.end(PATIENCE)
