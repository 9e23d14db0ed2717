"""What this window saved, for the file that takes the record's place: a copy may be older than a press."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from carelog.domain.trouble import Trouble
from carelog.text import mark, say

if TYPE_CHECKING:
    from carelog.app.ports import Record
    from carelog.domain.entry import Entry

ANOTHER_PERSON = mark(
    "This file is about somebody else. Nothing from here goes into it. Close the window first."
)
MOST = 5000  # entries; weeks of one window, while a copy is made every day


class SavedHere:
    """The entries this window saved, with their ids and times, in the order of saving."""

    def __init__(self) -> None:
        self._entries: dict[str, Entry] = {}
        self.person = ""
        """The id of the person that the open record is about; empty while none is open."""

    def note(self, entries: "Sequence[Entry]") -> None:
        """These were saved; called in the writer's thread."""
        self._entries.update((each.id, each) for each in entries)
        while len(self._entries) > MOST:
            del self._entries[next(iter(self._entries))]

    def forget(self) -> None:
        """What was saved stays in the file that is set aside."""
        self._entries.clear()

    def check(self, record: "Record") -> None:
        """Refuse a record about another person than the one that was open before."""
        if self._entries and self.person != record.person().id:
            raise Trouble(say(ANOTHER_PERSON))
        self.follow(record)

    def follow(self, record: "Record") -> None:
        """An import into a record that was empty may have said whom it is about."""
        self.person = record.person().id

    def entries(self) -> "list[Entry]":
        """All of them, in the order of saving."""
        return list(self._entries.values())

    def holds(self, entry: "Entry") -> bool:
        """Whether this window saved it."""
        return entry.id in self._entries
