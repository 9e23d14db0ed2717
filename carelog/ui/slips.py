"""The presses of this window and their fate: waiting, saved, not saved, undone."""

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from carelog.domain.instant import Instant
from carelog.ui.access import Access, Stage
from carelog.ui.acts import SlipActs
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder
from carelog.ui.saved import SavedHere
from carelog.ui.slip import Slip, State

if TYPE_CHECKING:
    from carelog.app.logbook import Logbook
    from carelog.app.ports import Record
    from carelog.domain.entry import Details, Entry


class Slips:
    """One slip a press, in the order of pressing; what isn't saved yet is saved as soon as it can be."""

    def __init__(self, access: Access, present: Present, recorder: Recorder) -> None:
        self.all: list[Slip] = []
        self.pressed_at: Instant = 0
        """When somebody pressed last in this window, or in the one before it."""
        self.acts = SlipActs(access, recorder)
        self.saved_here = SavedHere()
        self.when_changed = access.when_changed
        self._access = access
        self._present = present
        self._recorder = recorder
        access.when_missing.append(self.all.clear)
        access.when_preparing.append(self._check)
        access.when_open.append(lambda: self._save_all(State.WAITING))
        access.when_let_go.append(self._wait_again)
        access.when_committed.append(self.saved_here.note)

    @property
    def newest(self) -> Slip | None:
        """The last press; None: there is none."""
        return self.all[-1] if self.all else None

    @property
    def unsaved(self) -> list[Slip]:
        """The presses that aren't in the file yet."""
        return [slip for slip in self.all if slip.is_unsaved]

    # Pressing -------------------------------------------------------------------------------------

    def press(self, kind: str, details: "Details", by: str | None = None, note: str = "") -> Slip:
        """Record what a tile says, as of now; where there is no record, nothing is kept of it.

        `by`: who said so of themselves, which says nothing of who records; None: by whoever records.
        """
        slip = Slip(self._recorder.draft(kind, details, note, by))
        if self._access.stage is Stage.MISSING:
            self.when_changed.tell()
            return slip
        if by is None:
            slip.asks_who = self._recorder.is_doubtful(slip.first.recorded_at, self.pressed_at)
            self.pressed_at = slip.first.recorded_at
        slip.asked_at = self._present.asked_yesterday(kind, details)
        self.all.append(slip)
        with self.when_changed.once():
            self._submit(slip)
            self.when_changed.tell()
        return slip

    def press_again(self) -> None:
        """Another press was taken as the same one: say so."""
        if self.all:
            self.all[-1].is_several = True
            self.when_changed.tell()

    def press_kept(self, slips: Sequence[Slip]) -> None:
        """Presses that an earlier start left unsaved: save them as they were."""
        known = {slip.first.id for slip in self.all}
        for slip in slips:
            if slip.first.id not in known:
                self.all.insert(0, slip)
                self._submit(slip, is_retry=True)
        self.when_changed.tell()

    def note_saved(self, entry: "Entry", spoken_of: Mapping[str, str] | None = None) -> None:
        """A form or a page saved this entry: the receipt says so, and what it speaks of in those words."""
        slip = Slip(entry, spoken_of)
        slip.state = State.SAVED
        self.all.append(slip)
        self.when_changed.tell()

    def record(
        self,
        job: "Callable[[Logbook, str], Sequence[Entry]]",
        then: Callable[[], object],
        failed: Callable[[str], None],
    ) -> None:
        """Do this in the record, by whoever records now; what it saved stands on the receipt."""
        by = self._recorder.who

        def saved(entries: "Sequence[Entry]") -> None:
            for entry in entries:
                self.note_saved(entry)
            then()

        self._access.act(lambda logbook, _record: job(logbook, by), saved, failed)

    def forget(self) -> None:
        """Another record takes this one's place, which is kept: nothing of it goes into that."""
        self.all.clear()
        self.saved_here.forget()

    def try_again(self) -> None:
        """Save once more, in order, what couldn't be saved."""
        if self._access.stage is Stage.FAILED:
            self._access.open()
            return
        self._save_all(State.FAILED)
        self.when_changed.tell()

    # Saving ---------------------------------------------------------------------------------------

    def _check(self, record: "Record") -> None:
        self.saved_here.check(record)

    def _wait_again(self) -> None:
        for slip in self.all:
            if slip.state is not State.UNDONE:
                slip.state, slip.trouble = State.WAITING, ""

    def _save_all(self, state: State) -> None:
        self._bring_back()
        for slip in self.all:
            if slip.state is state and not self.saved_here.holds(slip.first):
                self._submit(slip, is_retry=state is State.FAILED)

    def _bring_back(self) -> None:
        """Let the file that is open now hold all that this window saved, if another took its place."""
        own = self.saved_here.entries()
        lacking = [slip for slip in self.unsaved if self.saved_here.holds(slip.first)]
        if not own:
            return

        def saved(_nothing: None) -> None:
            for slip in lacking:
                slip.state, slip.trouble = State.SAVED, ""
            self._access.tell(own)
            self._present.read_anew()
            self.when_changed.tell()

        def failed(sentence: str) -> None:
            for slip in lacking:
                slip.state, slip.trouble = State.FAILED, sentence
            self.when_changed.tell()

        self._access.act(lambda logbook, _record: logbook.again(own), saved, failed)

    def _submit(self, slip: Slip, *, is_retry: bool = False) -> None:
        slip.state, slip.trouble = State.WAITING, ""
        if not self._access.is_open():
            return
        first, tried = slip.first, slip.first if is_retry else None

        def saved(entry: "Entry") -> None:
            slip.entry, slip.state = entry, State.SAVED
            self.when_changed.tell()

        def failed(sentence: str) -> None:
            slip.state, slip.trouble = State.FAILED, sentence
            self.when_changed.tell()

        self._access.act(lambda logbook, _record: logbook.save(first, tried), saved, failed)
