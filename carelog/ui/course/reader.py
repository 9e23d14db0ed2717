"""Reads the course in a thread of its own: its rows first, then its flags, which take long over a year."""

from collections.abc import Callable, Sequence
from datetime import date
from typing import TYPE_CHECKING

from carelog.app.course import course_of, entries_for, flags_for
from carelog.domain.moment import Instant
from carelog.ui.access import Access
from carelog.ui.newest import Asking, Newest
from carelog.ui.worker import Worker

if TYPE_CHECKING:
    from carelog.analysis.course.course import WholeCourse
    from carelog.app.ports import Record
    from carelog.domain.entry import Entry

PATIENCE = 5  # s; a window that closes waits no longer for the flags of a year


class CourseReader:
    """Only what was asked for last is handed over."""

    def __init__(
        self,
        access: Access,
        then: "Callable[[WholeCourse], None]",
        failed: Callable[[str], None],
    ) -> None:
        """`then` is given each course twice: without its flags, and with them."""
        self._access = access
        self._then = then
        self._failed = failed
        self._newest = Newest()
        self._worker: Worker | None = None
        self._is_ended = False
        access.when_ending.append(self._end)

    def ask(self, days: Sequence[date], now: Instant) -> None:
        """Read these days as they are known now."""
        asking = self._newest.ask()

        def read(record: "Record") -> None:
            self._ask_worker(record, days, now, asking)

        self._access.read(lambda record: record, asking.only(read), asking.only(self._failed))

    def _ask_worker(self, record: "Record", days: Sequence[date], now: Instant, asking: Asking) -> None:
        if self._is_ended:
            return
        if self._worker is None:
            self._worker = Worker("course", self._access.bridge)
        then, failed = asking.only(self._then), asking.only(self._failed)

        def rows() -> "tuple[list[Entry], WholeCourse] | None":
            if not self._newest.is_newest(asking.number):
                return None
            entries = entries_for(record, days)
            return entries, course_of(entries, days, now)

        def flagged(entries: "list[Entry]") -> "WholeCourse | None":
            if not self._newest.is_newest(asking.number) or self._is_ended:
                return None
            return course_of(entries, days, now, flags_for(record, days, now))

        def show(found: "tuple[list[Entry], WholeCourse] | None") -> None:
            if found is None or self._worker is None or self._is_ended:
                return
            entries, course = found
            then(course)
            self._worker.ask(lambda: flagged(entries), with_flags, failed)

        def with_flags(whole: "WholeCourse | None") -> None:
            if whole is not None:
                then(whole)

        self._worker.ask(rows, show, failed)

    def _end(self) -> None:
        self._is_ended = True
        self._newest.forget()
        if self._worker is not None:
            self._worker.end(PATIENCE)
