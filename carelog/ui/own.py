"""What this window saved, for the file that takes the record's place: a copy may be older than a press."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from carelog.domain.entry import Entry
from carelog.domain.trouble import Trouble
from carelog.text import mark, say
from carelog.ui.slip import Slip, State

if TYPE_CHECKING:
    from carelog.app.logbook import Logbook
    from carelog.app.ports import Record
    from carelog.ui.desk import Desk

ANOTHER_PERSON = mark(
    "This file is about somebody else. Nothing from here goes into it. Close the window first."
)
MOST = 5000  # entries; weeks of one window, while a copy is made every day


class Own:
    """The entries this window saved, with their ids and times, in the order of saving."""

    def __init__(self) -> None:
        self._entries: dict[str, Entry] = {}
        self.person = ""
        """The id of the person that the open record is about; empty while none is open."""

    def note(self, entries: Sequence[Entry]) -> None:
        """These were saved; called in the writer's thread."""
        self._entries.update((each.id, each) for each in entries)
        while len(self._entries) > MOST:
            del self._entries[next(iter(self._entries))]

    def check(self, record: "Record") -> None:
        """Refuse a record about another person than the one that was open before."""
        if self._entries and self.person != record.person().id:
            record.close()
            raise Trouble(say(ANOTHER_PERSON))
        self.follow(record)

    def follow(self, record: "Record") -> None:
        """An import into a record that was empty may have said whom it is about."""
        self.person = record.person().id

    def holds(self, slip: Slip) -> bool:
        """Whether a press was saved by this window."""
        return slip.first.id in self._entries

    def bring_back(self, desk: "Desk", changed: Callable[[], None]) -> None:
        """Let the file that is open now hold all of it: presses, what was added to them, what was undone."""
        own = list(self._entries.values())
        lacking = [slip for slip in desk.slips if slip.is_unsaved and self.holds(slip)]
        if not own:
            return

        def again(logbook: "Logbook", _record: "Record") -> None:
            logbook.again(own)

        def saved(_nothing: None) -> None:
            for slip in lacking:
                slip.state, slip.trouble = State.SAVED, ""
            for listener in desk.when_told:
                listener(own)
            desk.read_anew()
            changed()

        def failed(sentence: str) -> None:
            for slip in lacking:
                slip.state, slip.trouble = State.FAILED, sentence
            changed()

        desk.act(again, saved, failed)
