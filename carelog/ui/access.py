"""Access to the record: how far it is, reading it and changing it, in threads of its own."""

from collections.abc import Callable, Sequence
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QTimer

from carelog.text import mark, say
from carelog.ui.bridge import Bridge
from carelog.ui.listeners import Listeners
from carelog.ui.worker import AskedJob, Turn, Worker

if TYPE_CHECKING:
    from carelog.app.logbook import Logbook
    from carelog.app.ports import Clock, Ids, Record
    from carelog.domain.entry import Entry

T = TypeVar("T")
Listener = Callable[[], None]
Opener = Callable[[Path], "Record"]
SAVING_WAIT = 0.06  # s; a save that takes longer is shown as "not saved yet" until it is done
OPENING_WAIT = 0.4  # s; the interpreter's lock is held by imports for most of it anyway
PAINTED = 100  # ms
PATIENCE = 5  # s; a window that closes waits no longer for what is only read
SETTLING = 30  # s; so long a copy of the file may still take that is let go of
NOT_THERE = mark("“{name}” isn't there. Put it back, or plug its disk in; what is pressed stays here.")


def _pass_over(_told: object) -> None:
    """Nobody waits for this: what fails now is said when something is saved."""


class Stage(Enum):
    """How far the record is."""

    OPENING = "opening"
    OPEN = "open"
    MISSING = "missing"
    FAILED = "failed"


class Access:
    """The writer saves, one durable commit after another; the reader reads for whoever shows something.

    What takes long and nobody waits for is done beside them, one thing after another, by the patient one: the
    first flags, a check of the file, a copy that is tried. The copier makes copies, which somebody may wait
    for, and which take long on a slow stick.
    """

    def __init__(self, path: Path, opener: Opener, clock: "Clock", ids: "Ids") -> None:
        self.path = path
        self.stage = Stage.OPENING
        self.trouble = ""
        self.has_begun = False
        """Whether opening was asked for; before it, nothing that takes time is looked up."""
        self.bridge = Bridge()
        self.writer = Worker("writer", self.bridge)
        self.turn = Turn()
        self.reader = Worker("reader", self.bridge, self.turn)
        self.patient = Worker("patient", self.bridge, self.turn)
        self.copier = Worker("copier", self.bridge, self.turn)
        self.when_changed = Listeners()
        """Told of anything that the window shows: stage, who records, picture, presses."""
        self.when_preparing: list[Callable[[Record], Listener | None]] = []
        """In the writer's thread, with a record just opened; what each returns is done in the window's."""
        self.when_missing: list[Listener] = []
        """At the start, when there is no record: what was pressed before this was known goes nowhere."""
        self.when_open: list[Listener] = []
        self.when_let_go: list[Listener] = []
        self.when_unreadable: list[Listener] = []
        self.when_committed: list[Callable[[Sequence[Entry]], None]] = []
        """In the writer's thread, once after each commit of this window."""
        self.when_told: list[Callable[[Sequence[Entry]], None]] = []
        """What was saved here or came from elsewhere; nothing: too much to be told, read it anew."""
        self.when_acted: list[Listener] = []
        self.when_ending: list[Listener] = []
        """Work of other threads that is to stop before the record is closed."""
        self.when_closing: list[Callable[[Record], None]] = []
        self._opener = opener
        self._clock = clock
        self._ids = ids
        self._record: Record | None = None
        self._held: Record | None = None
        """What the writer's thread has open, whether the window was told of it or not."""
        self._logbook: Logbook | None = None

    # Opening and closing --------------------------------------------------------------------------

    def open(self) -> None:
        """Open the record in the writer's thread; presses meanwhile wait for it."""
        if self.path.exists():
            self.open_at(self.path)
        elif self.stage is Stage.FAILED:
            self.refuse(say(NOT_THERE).format(name=self.path.name))
        else:
            self.trouble = ""
            for listener in self.when_missing:
                listener()
            self._set_stage(Stage.MISSING)

    def refuse(self, sentence: str) -> None:
        """The record is not to be opened: say why."""
        self.trouble = sentence
        self._set_stage(Stage.FAILED)

    def open_at(self, path: Path, opener: Opener | None = None) -> None:
        """Open, or make, this record in this window, while none is open yet."""
        self.path, self.trouble = path, ""
        opener = opener or self._opener
        self._set_stage(Stage.OPENING)
        asked = self.writer.ask(lambda: self._opened_parts(opener, path), self._on_open, self._on_open_failed)
        asked.wait(OPENING_WAIT)

    def begin_anew(self, put: Callable[[], object]) -> None:
        """Let go of the file, do this in the writer's thread, open what is there then; presses go into it."""
        self._record = self._logbook = None
        for listener in self.when_let_go:
            listener()

        def opener(path: Path) -> "Record":
            self.copier.settle(SETTLING)  # a file that is being copied can't be renamed on every system
            put()
            return self._opener(path)

        self.open_at(self.path, opener)

    def close(self) -> None:
        """Save what waits, then let go of the file; what is only read is not read to its end."""
        self.turn.end()
        for stop in self.when_ending:
            stop()
        self.writer.end()
        for worker in (self.reader, self.patient, self.copier):
            worker.end(PATIENCE)
        if self._record is not None:
            for listener in self.when_closing:
                listener(self._record)
            self._record = None
        self._let_go()
        self.bridge.end()

    def _opened_parts(self, opener: Opener, path: Path) -> tuple["Record", "Logbook", list[Listener | None]]:
        from carelog.app.logbook import Logbook

        self._let_go()
        record = self._held = opener(path)
        try:
            prepared = [prepare(record) for prepare in self.when_preparing]
        except BaseException:
            self._let_go()
            raise
        return record, Logbook(record, self._clock, self._ids, self._after_commit), prepared

    def _let_go(self) -> None:
        held, self._held = self._held, None
        if held is not None:
            held.close()

    def _on_open(self, opened: tuple["Record", "Logbook", list[Listener | None]]) -> None:
        self._record, self._logbook, prepared = opened
        for take in prepared:
            if take is not None:
                take()
        self._set_stage(Stage.OPEN)
        for listener in self.when_open:
            listener()
        QTimer.singleShot(PAINTED, self._get_ready)

    def _get_ready(self) -> None:
        """Once the dues are painted: what the first press would wait for."""
        record = self._record
        if record is not None:
            self.writer.ask(record.get_ready, _pass_over, _pass_over)

    def _on_open_failed(self, sentence: str) -> None:
        self.refuse(sentence)
        for listener in self.when_unreadable:
            listener()

    def _set_stage(self, stage: Stage) -> None:
        self.has_begun, self.stage = True, stage
        self.when_changed.tell()

    # Reading and changing -------------------------------------------------------------------------

    def is_open(self) -> bool:
        """Whether the record is open."""
        return self.stage is Stage.OPEN

    def unread(self) -> str:
        """Why nothing of the record can be shown."""
        if self.stage is Stage.MISSING:
            return say("There is no record here yet")
        if self.stage is Stage.FAILED:
            return say("The record couldn't be opened")
        return say("Opening the record, not read yet")

    def read(
        self,
        job: Callable[["Record"], T],
        then: Callable[[T], None],
        failed: Callable[[str], None],
        beside: Worker | None = None,
    ) -> AskedJob[T] | None:
        """Read something in the reader's thread, or in another `beside` it what takes long."""
        record = self._record
        if record is None:
            failed(self.unread())
            return None
        return (beside or self.reader).ask(lambda: job(record), then, failed)

    def act(
        self,
        job: Callable[["Logbook", "Record"], T],
        then: Callable[[T], None],
        failed: Callable[[str], None],
    ) -> None:
        """Change the record in the writer's thread."""
        logbook, record = self._logbook, self._record
        if logbook is None or record is None:
            failed(self.trouble or say("The record isn't open yet. Nothing was saved."))
            return
        asked = self.writer.ask(lambda: job(logbook, record), then, failed)
        asked.wait(SAVING_WAIT)
        for listener in self.when_acted:
            listener()

    def tell(self, entries: "Sequence[Entry]") -> None:
        """These were written, here or elsewhere; none: too many to be told."""
        for listener in self.when_told:
            listener(entries)

    def say(self, trouble: str) -> None:
        """What is wrong with the record that is open; empty: nothing any more."""
        self.trouble = trouble
        self.when_changed.tell()

    def _after_commit(self, entries: "Sequence[Entry]") -> None:
        self.bridge.call(lambda: self.tell(entries))
        for listener in self.when_committed:
            listener(entries)
