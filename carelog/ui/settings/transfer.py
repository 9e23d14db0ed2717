"""Taking an exchange file in and giving one out, in the writer's thread, with progress and a way to stop."""

import threading
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from carelog.app.output import write_file
from carelog.app.ports import Merged
from carelog.domain.trouble import Refused
from carelog.text import say

if TYPE_CHECKING:
    from carelog.app.ports import Record
    from carelog.ui.desk import Desk

STEP = 500  # entries between two reports


class Transfer:
    """One import or export at a time."""

    def __init__(self, desk: "Desk", told: Callable[[str], None]) -> None:
        """`told` is given each sentence about how it goes."""
        self._desk = desk
        self._told = told
        self._stop = threading.Event()
        self._shown = 0
        self.is_importing = False

    def take_in(self, path: Path) -> None:
        """Import a file: all of it or nothing."""
        self._stop.clear()
        self._shown = 0
        self.is_importing = True
        self._told(say("Reading the file …"))
        self._desk.act(lambda _logbook, record: self._merged(record, path), self._on_merged, self._on_refused)

    def stop(self) -> None:
        """Stop an import that isn't committed yet."""
        self._stop.set()

    def give_out(self, path: Path) -> None:
        """Export everything as an exchange file."""
        self._desk.act(lambda _logbook, record: self._written(record, path), self._on_written, self._told)

    def _merged(self, record: "Record", path: Path) -> Merged:
        try:
            with path.open("rb") as lines:
                merged = self._desk.parts.exchange().merge(lines, record, self._progress, self._stop.is_set)
        except OSError as error:
            raise Refused(say("The file can't be read: {cause}.").format(cause=error.strerror)) from error
        self._desk.own.follow(record)
        return merged

    def _progress(self, count: int) -> None:
        if count - self._shown >= STEP:
            self._shown = count
            words = say("{count} entries read …").format(count=count)
            self._desk.bridge.call(lambda: self._told(words))

    def _on_refused(self, sentence: str) -> None:
        self.is_importing = False
        self._told(sentence)

    def _on_merged(self, merged: Merged) -> None:
        self.is_importing = False
        self._told(
            say("{added} entries were added, {already} were already there.").format(
                added=merged.added, already=merged.already
            )
        )
        self._desk.read_anew()

    def _written(self, record: "Record", path: Path) -> int:
        lines = self._desk.parts.exchange().write(record, record.everything(), self._desk.now())
        return write_file(path, lines, record.path) - 1  # the heading is no entry

    def _on_written(self, count: int) -> None:
        self._told(say("{count} entries written. The file isn't encrypted.").format(count=count))
