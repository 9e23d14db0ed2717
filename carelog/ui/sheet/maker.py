"""Makes one sheet at a time in a thread of its own; a sheet that nobody waits for any more is stopped."""

import threading
from collections.abc import Callable
from typing import TYPE_CHECKING

from carelog.domain.paper import STOPPED, Cancelled
from carelog.domain.turn import asking
from carelog.text import say
from carelog.ui.access import Access
from carelog.ui.newest import Newest
from carelog.ui.sheet.made import Made
from carelog.ui.worker import Worker

if TYPE_CHECKING:
    from carelog.app.ports import Record, Sheets
    from carelog.domain.paper import SheetRequest

PATIENCE = 5  # s; a window that closes waits no longer for a sheet that is being stopped


class Maker:
    """What is asked for last is made; an answer to anything asked before is never handed over."""

    def __init__(
        self, access: Access, sheets: "Callable[[], Sheets]", progress: Callable[[int], None]
    ) -> None:
        """`progress` is given the number of the page that is being made."""
        self._access = access
        self._sheets = sheets
        self._progress = progress
        self._newest = Newest()
        self._stop = threading.Event()
        self._press: Worker | None = None
        self._is_ended = False

    def make(
        self, request: "SheetRequest", then: Callable[[Made], None], failed: Callable[[str], None]
    ) -> None:
        """Read the record and make the sheet; whatever was being made is stopped."""
        self._stop.set()
        stop = self._stop = threading.Event()
        asked = self._newest.ask()
        shown, lost, progress = asked.only(then), asked.only(failed), asked.only(self._progress)

        def look() -> None:
            if stop.is_set():
                raise Cancelled(say(STOPPED))

        def made(record: "Record") -> Made:
            from carelog.app.history import of_days

            look()  # the one before it in the queue may have taken long
            with asking(look):
                found = of_days(record, self._sheets().days(request), request.now, request.at)
                look()
                pdf = self._sheets().make(
                    request,
                    found.entries,
                    record.person().name,
                    progress=lambda page: self._access.bridge.call(lambda: progress(page)),
                    is_cancelled=stop.is_set,
                    find_flags=found.find_flags,
                    usual=found.usual,
                )
            return Made(request, pdf)

        if not self._is_ended:
            self._press = self._press or Worker("press", self._access.bridge, self._access.turn)
            self._access.read(made, shown, lost, self._press)

    def stop(self) -> None:
        """Stop the sheet that is being made: its asker is told so."""
        self._stop.set()

    def end(self) -> None:
        """The window closes."""
        self._is_ended = True
        self._stop.set()
        if self._press is not None:
            self._press.end(PATIENCE)
