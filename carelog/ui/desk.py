"""The record once it is open, who records, the presses and their fate, the picture of now."""

from collections.abc import Callable, Mapping, Sequence
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from carelog.domain.entry import Details, Entry
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import HOUR, Home, Instant
from carelog.text import say
from carelog.ui.bridge import Bridge
from carelog.ui.listeners import Listeners
from carelog.ui.look import Looked, look
from carelog.ui.newest import Newest
from carelog.ui.own import Own
from carelog.ui.parts import Parts
from carelog.ui.slip import Slip, State
from carelog.ui.worker import Asked, Worker

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held
    from carelog.app.logbook import Logbook
    from carelog.app.outlook import Outlook, Picture
    from carelog.app.ports import Record

T = TypeVar("T")
Listener = Callable[[], None]
LONG_PAUSE = 8 * HOUR
SAVING_WAIT = 0.06  # s; a save that takes longer is shown as "not saved yet" until it is done
OPENING_WAIT = 0.4  # s; the interpreter's lock is held by imports for most of it anyway


class Stage(Enum):
    """How far the record is."""

    OPENING = "opening"
    OPEN = "open"
    MISSING = "missing"
    FAILED = "failed"


class Desk:
    """Between the widgets and the record: everything slow happens in two threads of its own.

    The writer saves, one durable commit after another; the reader keeps the outlook and reads for the pages.
    Whoever shows something adds itself to `when_changed` (stage, who, picture, presses) or to `when_told`
    (what was saved here or came from elsewhere; with nothing: too much to be told, read it anew).
    """

    def __init__(self, parts: Parts) -> None:
        self.parts = parts
        self.path = parts.record_path
        self.bridge = Bridge()
        self.writer = Worker("writer", self.bridge)
        self.reader = Worker("reader", self.bridge)
        self.stage = Stage.OPENING
        self.trouble = ""
        self.has_begun = False
        """Whether opening was asked for; before it, nothing that takes time is looked up."""
        self.who = ""
        self.chosen_at: Instant = 0
        self.pressed_at: Instant = 0
        """When somebody pressed last in this window, or in the one before it."""
        self.picture: Picture | None = None
        self.calls: Mapping[Level, str] = {}
        """Whom to call for a flag of each level, in words."""
        self.flags: Sequence[Flag] | None = None
        """The flags of now and of the last days; None: not read yet."""
        self.lasts: Mapping[str, Held] = {}
        """What each tile recorded last, by the tile's name."""
        self.backup_picture: tuple[Instant, Picture] | None = None
        """What the newest good backup shows, and when it was made, while the record can't be read."""
        self.slips: list[Slip] = []
        self.when_changed = Listeners()
        self.when_unreadable: list[Listener] = []
        """Called when the record couldn't be opened."""
        self.when_ending: list[Listener] = []
        """Work of other threads that is to stop before the record is closed."""
        self.when_closing: list[Callable[[Record], None]] = []
        self.notices: list[Callable[[], str]] = []
        """Lines that other parts of the window have for the board, such as where the last copy lies."""
        self.when_told: list[Callable[[Sequence[Entry]], None]] = []
        self.own = Own()
        self._record: Record | None = None
        self._logbook: Logbook | None = None
        self._outlook: Outlook | None = None
        self._looking: Asked[Looked] | None = None
        self._look = Newest()

    # Opening and closing --------------------------------------------------------------------------

    def open(self) -> None:
        """Open the record in the writer's thread; presses meanwhile wait for it."""
        self.trouble = ""
        if not self.path.exists():
            self._set_stage(Stage.MISSING)
            return
        self._open_with(self.parts.open_record)

    def refuse(self, sentence: str) -> None:
        """The record is not to be opened: say why."""
        self.trouble = sentence
        self._set_stage(Stage.FAILED)

    def make(self, maker: Callable[[Path], "Record"]) -> None:
        """Make the record that is missing, after the person said so."""
        self._open_with(maker)

    def open_at(self, path: Path, opener: Callable[[Path], "Record"]) -> None:
        """Open another record in this window, while none is open yet."""
        self.path = path
        self._open_with(opener)

    def _open_with(self, opener: Callable[[Path], "Record"]) -> None:
        self._set_stage(Stage.OPENING)
        path = self.path
        asked = self.writer.ask(lambda: self._opened_parts(opener(path)), self._on_open, self._on_open_failed)
        asked.wait(OPENING_WAIT)

    def _opened_parts(self, record: "Record") -> tuple["Record", "Logbook", "Outlook", Looked]:
        from carelog.app.logbook import Logbook
        from carelog.app.outlook import Outlook

        self.own.check(record)
        outlook = Outlook(record)
        logbook = Logbook(record, self.parts.clock, self.parts.ids, self._after_commit)
        return record, logbook, outlook, look(outlook, self.now(), self.parts.doubt())

    def _on_open(self, opened: tuple["Record", "Logbook", "Outlook", Looked]) -> None:
        self._record, self._logbook, self._outlook, looked = opened
        self._take(looked)
        if not self.who:
            self.who = looked.picture.last_by
        self._set_stage(Stage.OPEN)
        self._watch(self._outlook)
        self._save_all(State.WAITING)

    def _watch(self, outlook: "Outlook") -> None:
        """After the dues are on screen: the flags, which may take long once in a long record."""
        path, now = self.path, self.now()

        def seen() -> Looked:
            from carelog.app.flagwatch import file_beside

            outlook.watch(file_beside(path))
            return look(outlook, now, self.parts.doubt())

        self._ask_to_look(seen)

    def _on_open_failed(self, sentence: str) -> None:
        self.trouble = sentence
        self._set_stage(Stage.FAILED)
        for listener in self.when_unreadable:
            listener()

    def begin_anew(self, put: Callable[[], object]) -> None:
        """Let go of the file, do this in the writer's thread, open what is there then; presses go into it."""
        record, self._record, self._logbook, self._outlook = self._record, None, None, None
        self._look.forget()
        for slip in self.slips:
            if slip.state is not State.UNDONE:
                slip.state, slip.trouble = State.WAITING, ""

        def opener(path: Path) -> "Record":
            if record is not None:
                record.close()
            put()
            return self.parts.open_record(path)

        self.trouble = ""
        self._open_with(opener)

    def show_backup(self, found: "tuple[Instant, Picture]") -> None:
        """What the newest good copy shows stands in for the record that can't be read."""
        self.backup_picture = found
        self._changed()

    def close(self) -> None:
        """Save what waits, then let go of the file."""
        for stop in self.when_ending:
            stop()
        self.writer.end()
        if self._outlook is not None:
            self.reader.ask(self._outlook.save, lambda _nothing: None, lambda _sentence: None)
        self.reader.end()
        if self._record is not None:
            for listener in self.when_closing:
                listener(self._record)
            self._record.close()
            self._record = None
        self.bridge.end()

    # Asking ---------------------------------------------------------------------------------------

    def now(self) -> Instant:
        """The present instant."""
        return self.parts.clock.now()

    def home(self) -> Home:
        """The home zone's clock; until the record is read, and while it is empty, the computer's."""
        return seen.home if (seen := self.picture) and seen.count else Home(self.parts.clock.zone() or "UTC")

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
        self, job: Callable[["Record"], T], then: Callable[[T], None], failed: Callable[[str], None]
    ) -> Asked[T] | None:
        """Read something in the reader's thread."""
        record = self._record
        if record is None:
            failed(self.unread())
            return None
        return self.reader.ask(lambda: job(record), then, failed)

    # Doing ----------------------------------------------------------------------------------------

    def draft(self, kind: str, details: Details, note: str = "") -> Entry:
        """An entry of now with its id and times fixed, not saved yet."""
        from carelog.app.logbook import drafted

        return drafted(self.parts.clock, self.parts.ids, kind, details, self.who, note=note)

    def press(self, kind: str, details: Details) -> Slip:
        """Record what a tile says, as of now."""
        slip = Slip(self.draft(kind, details))
        slip.asks_who = self._is_who_doubtful(slip.first.recorded_at)
        self.pressed_at = slip.first.recorded_at
        self.slips.append(slip)
        with self.when_changed.once():
            self._submit(slip)
            self._changed()
        return slip

    def _is_who_doubtful(self, now: Instant) -> bool:
        """Nobody is chosen, or nobody pressed for 8 h, or somebody else's shift has begun since."""
        shift = self.picture.latest.get("shift") if self.picture else None
        if shift is not None and shift.entry.details.get("action") == "start":
            begun_by = shift.entry.by
            if begun_by and begun_by != self.who and shift.time > self.chosen_at:
                return True
        return not self.who or (self.pressed_at > 0 and now - self.pressed_at > LONG_PAUSE)

    def press_kept(self, slips: list[Slip]) -> None:
        """Presses that an earlier start left unsaved: save them as they were."""
        known = {slip.first.id for slip in self.slips}
        for slip in slips:
            if slip.first.id not in known:
                self.slips.insert(0, slip)
                self._submit(slip, is_retry=True)
        self._changed()

    def note_saved(self, entry: Entry) -> None:
        """A form or the timeline saved this entry: the receipt says so."""
        slip = Slip(entry)
        slip.state = State.SAVED
        self.slips.append(slip)
        self._changed()

    def press_again(self) -> None:
        """Another press was taken as the same one: say so."""
        if self.slips:
            self.slips[-1].is_several = True
            self._changed()

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
        self.writer.ask(lambda: job(logbook, record), then, failed).wait(SAVING_WAIT)
        if self._looking is not None:
            self._looking.wait(SAVING_WAIT)

    def try_again(self) -> None:
        """Save once more, in order, what couldn't be saved."""
        if self.stage is Stage.FAILED:
            self.open()
            return
        self._save_all(State.FAILED)
        self._changed()

    def choose(self, initials: str) -> None:
        """Who records from now on; empty: nobody chosen."""
        self.who, self.chosen_at = initials, self.now()
        self._changed()

    def look(self) -> None:
        """Work out the picture of now again, with what other processes wrote meanwhile."""
        self._look_if(lambda record: record.changed())

    def read_anew(self) -> None:
        """Much has changed at once, by an import: take in all of it."""
        self._look_if(lambda _record: True)

    def _look_if(self, has_more: Callable[["Record"], bool]) -> None:
        outlook, record = self._outlook, self._record
        if outlook is None or record is None:
            return
        now = self.now()

        def seen() -> Looked:
            new = outlook.refresh() if has_more(record) else []
            if new is None or new:
                self.bridge.call(lambda: self._tell(new or ()))
            return look(outlook, now, self.parts.doubt())

        self._ask_to_look(seen)

    # Inside ---------------------------------------------------------------------------------------

    def _save_all(self, state: State) -> None:
        self.own.bring_back(self, self._changed)
        for slip in self.slips:
            if slip.state is state and not self.own.holds(slip):
                self._submit(slip, is_retry=state is State.FAILED)

    def _submit(self, slip: Slip, *, is_retry: bool = False) -> None:
        slip.state, slip.trouble = State.WAITING, ""
        if self._logbook is None:
            return
        first, tried = slip.first, slip.first if is_retry else None

        def saved(entry: Entry) -> None:
            slip.entry, slip.state = entry, State.SAVED
            self._changed()

        def failed(sentence: str) -> None:
            slip.state, slip.trouble = State.FAILED, sentence
            self._changed()

        self.act(lambda logbook, _record: logbook.save(first, tried), saved, failed)

    def _after_commit(self, entries: Sequence[Entry]) -> None:
        outlook = self._outlook
        self.own.note(entries)
        self.parts.witness(entries)
        self.bridge.call(lambda: self._tell(entries))
        if outlook is not None:
            now = self.now()

            def seen() -> Looked:
                outlook.add(entries)
                return look(outlook, now, self.parts.doubt())

            self._looking = self._ask_to_look(seen)

    def _tell(self, entries: Sequence[Entry]) -> None:
        for listener in self.when_told:
            listener(entries)

    def _ask_to_look(self, seen: Callable[[], Looked]) -> Asked[Looked]:
        """Look in the reader's thread; what was asked for earlier and comes later is out of date."""
        asking = self._look.ask()
        return self.reader.ask(seen, asking.only(self._on_picture), asking.only(self._on_reading_failed))

    def _on_picture(self, looked: Looked) -> None:
        self._take(looked)
        self.trouble = ""
        self._changed()

    def _take(self, looked: Looked) -> None:
        self.picture, self.calls, self.lasts = looked.picture, looked.calls, looked.lasts
        self.flags = looked.flags

    def _on_reading_failed(self, sentence: str) -> None:
        self.trouble = sentence
        self._changed()

    def _set_stage(self, stage: Stage) -> None:
        self.has_begun, self.stage = True, stage
        self._changed()

    def _changed(self) -> None:
        self.when_changed.tell()
