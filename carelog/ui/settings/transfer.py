"""Taking an exchange file in and giving one out, in the writer's thread, with progress and a way to stop."""

import threading
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from carelog.analysis.home import holds_no_care
from carelog.app.output import write_file
from carelog.app.ports import Merged
from carelog.domain.trouble import AnotherPerson, Refused
from carelog.text import say, say_n
from carelog.ui.access import Access
from carelog.ui.present import Present
from carelog.ui.sealed import ASKED

if TYPE_CHECKING:
    from carelog.app.ports import Record
    from carelog.seal.magic import Opener
    from carelog.ui.parts import Parts

STEP = 500  # entries between two reports


class Transfer:
    """One import or export at a time."""

    def __init__(
        self,
        access: Access,
        present: Present,
        parts: "Parts",
        follow: "Callable[[Record], None]",
    ) -> None:
        """`follow` is told which record an import may have said the person of."""
        self._access = access
        self._present = present
        self._parts = parts
        self._follow = follow
        self.told: Callable[[str], None] = lambda _sentence: None
        """Given each sentence about how it goes."""
        self._stop = threading.Event()
        self._shown = 0
        self.is_importing = self.has_rivals = False
        self.other: tuple[Path, str] | None = None
        """A file about another person, refused by a record that holds no care yet, and what opened it."""
        self.locked: tuple[Path, Opener] | None = None
        """A file that is encrypted and wasn't opened yet, and what has to be typed for it."""

    def take_in(self, path: Path, typed: str = "") -> None:
        """Import a file: all of it or nothing. `typed` opens an encrypted one, as it asks."""
        self.other = self.locked = None
        self._stop.clear()
        self._shown = 0
        self.is_importing = True
        self.told(say("Reading the file …"))
        self._access.act(
            lambda _logbook, record: self._merged(record, path, typed), self._on_merged, self._on_refused
        )

    def stop(self) -> None:
        """Stop an import that isn't committed yet."""
        self._stop.set()

    def give_out(self, path: Path) -> None:
        """Export everything as an exchange file."""
        self._access.act(lambda _logbook, record: self._written(record, path), self._on_written, self.told)

    def meet(
        self, root: Path, meet: "Callable[[Record, Path, bool], Sequence[str]]", *, is_sealed: bool
    ) -> None:
        """Give and take with a stick: what the other computers left is read, all of ours is left there."""
        self.other = None
        self.told(say("Reading the stick …"))

        def met(record: "Record") -> tuple[Sequence[str], bool]:
            said = meet(record, root, is_sealed)
            self._follow(record)
            return said, _has_rivals(record)

        def on_met(done: tuple[Sequence[str], bool]) -> None:
            said, self.has_rivals = done
            self.told("\n".join(said))
            self._present.read_anew()

        self._access.act(lambda _logbook, record: met(record), on_met, self.told)

    def _merged(self, record: "Record", path: Path, typed: str) -> tuple[Merged, list[str]]:
        """In the writer's thread: what was added, and line by line what that did."""
        from carelog.app.merging import before_import, told
        from carelog.export.unpacked import exchange_file

        now = self._present.now()
        key = self._parts.asks_for(path)
        self.locked = (path, key) if key is not None else None
        if key is not None and not typed:
            raise Refused(say(ASKED[key]).format(name=path.name))
        try:
            before = before_import(record, now)
            opened = self._parts.given_file(path, typed)
            with opened as found, found.open("rb") as file, exchange_file(file) as lines:
                self.locked = None
                merged = self._parts.exchange().merge(lines, record, self._progress, self._stop.is_set)
        except AnotherPerson:
            if holds_no_care(record):
                self.other = path, typed
            raise
        except OSError as error:
            raise Refused(say("The file can't be read: {cause}.").format(cause=error.strerror)) from error
        self._follow(record)
        self.has_rivals = _has_rivals(record)
        return merged, told(record, before, now) if merged.added else []

    def _progress(self, count: int) -> None:
        if count - self._shown >= STEP:
            self._shown = count
            words = say_n("One entry read …", "{count} entries read …", count).format(count=count)
            self._access.bridge.call(lambda: self.told(words))

    def _on_refused(self, sentence: str) -> None:
        self.is_importing = False
        self.told(sentence)

    def _on_merged(self, done: tuple[Merged, list[str]]) -> None:
        self.is_importing = False
        merged, lines = done
        first = say_n(
            "One entry was added, {already} already there.",
            "{added} entries were added, {already} already there.",
            merged.added,
        ).format(added=merged.added, already=merged.already)
        self.told("\n".join([first, *lines]))
        self._present.read_anew()

    def _written(self, record: "Record", path: Path) -> int:
        lines = self._parts.exchange().write(record, record.everything(), self._present.now())
        return write_file(path, lines, record.path) - 1  # the heading is no entry

    def _on_written(self, count: int) -> None:
        self.told(
            say_n(
                "One entry written. The file isn't encrypted.",
                "{count} entries written. The file isn't encrypted.",
                count,
            ).format(count=count)
        )


def _has_rivals(record: "Record") -> bool:
    """Whether two computers changed an entry, and nobody has chosen yet."""
    from carelog.analysis.in_force import Reading
    from carelog.app.merging import unsolved

    return bool(unsolved(Reading(record.forked())))
