"""Makes one sheet at a time in a thread of its own; a sheet that nobody waits for any more is stopped."""

import threading
from collections.abc import Callable
from typing import TYPE_CHECKING

from carelog.ui.access import Access
from carelog.ui.newest import Newest
from carelog.ui.sheet.made import Made
from carelog.ui.worker import Worker

if TYPE_CHECKING:
    from carelog.app.history import Sources
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
        asking = self._newest.ask()
        shown, lost, progress = asking.only(then), asking.only(failed), asking.only(self._progress)

        def read(record: "Record") -> "tuple[Sources, str]":
            from carelog.app.history import of_days

            days = self._sheets().days(request)
            return of_days(record, days, request.now, request.at), record.person().name

        def print_from(found: "tuple[Sources, str]") -> None:
            self._ask_press(lambda: made(*found), shown, lost)

        def made(found: "Sources", name: str) -> Made:
            pdf = self._sheets().make(
                request,
                found.entries,
                name,
                progress=lambda page: self._access.bridge.call(lambda: progress(page)),
                is_cancelled=stop.is_set,
                find_flags=found.find_flags,
                usual=found.usual,
            )
            return Made(request, pdf)

        self._access.read(read, asking.only(print_from), lost)

    def _ask_press(
        self, job: Callable[[], Made], then: Callable[[Made], None], failed: Callable[[str], None]
    ) -> None:
        if self._is_ended:
            return
        if self._press is None:
            self._press = Worker("press", self._access.bridge)
        self._press.ask(job, then, failed)

    def stop(self) -> None:
        """Stop the sheet that is being made: its asker is told so."""
        self._stop.set()

    def end(self) -> None:
        """The window closes."""
        self._is_ended = True
        self._stop.set()
        if self._press is not None:
            self._press.end(PATIENCE)
