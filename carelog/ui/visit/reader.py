"""Reads a visit's days in a thread of its own: the numbers first, then the flags, which take longer."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from carelog.ui.access import Access
from carelog.ui.newest import Asking, Newest
from carelog.ui.worker import Worker

if TYPE_CHECKING:
    from carelog.analysis.visit.visit import Visit, VisitDays
    from carelog.app.ports import Record
    from carelog.domain.entry import Entry
    from carelog.domain.flag import Flag
    from carelog.domain.moment import Instant

PATIENCE = 5  # s; a window that closes waits no longer


class VisitReader:
    """Only what was asked for last is handed over; `then` is given each visit without and with its flags."""

    def __init__(
        self, access: Access, then: "Callable[[Visit], None]", failed: Callable[[str], None]
    ) -> None:
        self._access = access
        self._then = then
        self._failed = failed
        self._newest = Newest()
        self._worker: Worker | None = None
        self._is_ended = False
        access.when_ending.append(self._end)

    def ask(self, days: "VisitDays", now: "Instant", lately: "Sequence[Flag] | None") -> None:
        """Read these days as they are known now; `lately` are the flags that the window shows."""
        asking = self._newest.ask()

        def read(record: "Record") -> None:
            self._ask_worker(record, days, now, lately, asking)

        self._access.read(lambda record: record, asking.only(read), asking.only(self._failed))

    def beside(self) -> Worker:
        """The thread, for what else takes long."""
        if self._worker is None:
            self._worker = Worker("visit", self._access.bridge)
        return self._worker

    def _ask_worker(
        self,
        record: "Record",
        days: "VisitDays",
        now: "Instant",
        lately: "Sequence[Flag] | None",
        asking: Asking,
    ) -> None:
        if self._is_ended:
            return
        worker, then, failed = self.beside(), asking.only(self._then), asking.only(self._failed)

        def is_wanted() -> bool:
            return self._newest.is_newest(asking.number) and not self._is_ended

        def numbers() -> "tuple[list[Entry], Visit] | None":
            from carelog.app.visit.reading import entries_of_visit, visit_of

            if not is_wanted():
                return None
            entries = entries_of_visit(record, days)
            return entries, visit_of(entries, days, now, None, lately)

        def flagged(entries: "list[Entry]") -> "Visit | None":
            from carelog.app.visit.reading import flags_of_visit, visit_of

            return visit_of(entries, days, now, flags_of_visit(record, days, now)) if is_wanted() else None

        def show(found: "tuple[list[Entry], Visit] | None") -> None:
            if found is not None and is_wanted():
                entries, visit = found
                then(visit)
                worker.ask(lambda: flagged(entries), show_flagged, failed)

        def show_flagged(visit: "Visit | None") -> None:
            if visit is not None:
                then(visit)

        worker.ask(numbers, show, failed)

    def _end(self) -> None:
        self._is_ended = True
        self._newest.forget()
        if self._worker is not None:
            self._worker.end(PATIENCE)
