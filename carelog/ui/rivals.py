"""The board's line for entries that two computers changed, until somebody has chosen."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from carelog.domain.entry import Entry
from carelog.text import say
from carelog.ui.access import Access
from carelog.ui.newest import Newest
from carelog.ui.present import Present

if TYPE_CHECKING:
    from carelog.app.ports import Record


class Rivals:
    """Looked for when the record is open, and after each change of an entry."""

    def __init__(self, access: Access, present: Present) -> None:
        self._access = access
        self._present = present
        self._found: list[str] = []
        self._newest = Newest()
        access.when_open.append(self._look)
        access.when_told.append(self._on_told)

    def words(self) -> str:
        """The line; empty while there is nothing to choose."""
        if not self._found:
            return ""
        more = len(self._found) - 1
        return self._found[0] + (say(" And {count} more.").format(count=more) if more else "")

    def _on_told(self, entries: Sequence[Entry]) -> None:
        if not entries or any(entry.amends for entry in entries):
            self._look()

    def _look(self) -> None:
        home, asking = self._present.home(), self._newest.ask()

        def seen(record: "Record") -> list[str]:
            from carelog.analysis.in_force import Reading
            from carelog.app.merging import two_words, unsolved

            return [two_words(held, home) for held in unsolved(Reading(record.forked()))]

        self._access.read(seen, asking.only(self._on_seen), lambda _sentence: None)

    def _on_seen(self, found: list[str]) -> None:
        if found != self._found:
            self._found = found
            self._access.when_changed.tell()
