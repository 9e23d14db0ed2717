"""Reads a visit's days: the numbers first, then the flags, which take longer."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from carelog.ui.access import Access
from carelog.ui.passes import TwoPasses

if TYPE_CHECKING:
    from carelog.analysis.visit.visit import Visit, VisitDays
    from carelog.app.ports import Record
    from carelog.domain.entry import Entry
    from carelog.domain.flag import Flag
    from carelog.domain.moment import Instant
    from carelog.ui.worker import Worker


class VisitReader:
    """Hands each visit over twice: with the flags that the window shows, and with all of them."""

    def __init__(
        self, access: Access, then: "Callable[[Visit], None]", failed: Callable[[str], None]
    ) -> None:
        self._passes: TwoPasses[list[Entry], Visit] = TwoPasses("visit", access, then, failed)

    def ask(self, days: "VisitDays", now: "Instant", lately: "Sequence[Flag] | None") -> None:
        """Read these days as they are known now; `lately` are the flags that the window shows."""

        def numbers(record: "Record") -> "tuple[list[Entry], Visit]":
            from carelog.app.visit.reading import entries_of_visit, visit_of

            entries = entries_of_visit(record, days)
            return entries, visit_of(entries, days, now, None, lately)

        def flagged(record: "Record", entries: "list[Entry]") -> "Visit":
            from carelog.app.visit.reading import flags_of_visit, visit_of

            return visit_of(entries, days, now, flags_of_visit(record, days, now))

        self._passes.ask(numbers, flagged)

    def beside(self) -> "Worker":
        """The thread, for what else takes long."""
        return self._passes.beside()
