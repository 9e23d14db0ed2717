"""Reads the course: its rows first, then its flags, which take long over a year."""

from collections.abc import Callable, Sequence
from datetime import date
from typing import TYPE_CHECKING

from carelog.app.course import course_of, entries_for, flags_for
from carelog.domain.moment import Instant
from carelog.ui.access import Access
from carelog.ui.passes import TwoPasses

if TYPE_CHECKING:
    from carelog.analysis.course.course import WholeCourse
    from carelog.app.ports import Record
    from carelog.domain.entry import Entry


class CourseReader:
    """Hands each course over twice: without its flags, and with them."""

    def __init__(
        self, access: Access, then: "Callable[[WholeCourse], None]", failed: Callable[[str], None]
    ) -> None:
        self._passes: TwoPasses[list[Entry], WholeCourse] = TwoPasses("course", access, then, failed)

    def ask(self, days: Sequence[date], now: Instant) -> None:
        """Read these days as they are known now."""

        def rows(record: "Record") -> "tuple[list[Entry], WholeCourse]":
            entries = entries_for(record, days)
            return entries, course_of(entries, days, now)

        def flagged(record: "Record", entries: "list[Entry]") -> "WholeCourse":
            return course_of(entries, days, now, flags_for(record, days, now))

        self._passes.ask(rows, flagged)
