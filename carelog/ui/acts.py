"""What can be done to the entry that was just saved."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from carelog.domain.instant import MINUTE, Instant
from carelog.text import say
from carelog.ui.access import Access
from carelog.ui.recorder import Recorder
from carelog.ui.slip import Slip, State

if TYPE_CHECKING:
    from carelog.app.logbook import Logbook
    from carelog.app.ports import Record
    from carelog.domain.entry import Details, Entry, Json
    from carelog.domain.moment import Moment


class SlipActs:
    """Completes, corrects, undoes and redoes the entry of a slip; every change is an entry of its own."""

    def __init__(self, access: Access, recorder: Recorder) -> None:
        self._access = access
        self._recorder = recorder

    def may_undo(self, slip: Slip, now: Instant) -> bool:
        """Whether it is this carer's to take back or give back: another one's only while it is fresh."""
        is_own = self._recorder.who in ("", slip.first.by, slip.entry.by)
        return slip.state in (State.SAVED, State.UNDONE) and (is_own or slip.is_fresh(now))

    def move(self, slip: Slip, minutes: int) -> None:
        """Say that it happened so many minutes before the press."""
        instant = slip.first.recorded_at - minutes * MINUTE
        from dataclasses import replace  # with the first press

        self._change(slip, {}, replace(slip.first.at, instant=instant))

    def move_to(self, slip: Slip, moment: "Moment") -> None:
        """Say that it happened at this moment."""
        self._change(slip, {}, moment)

    def say_by(self, slip: Slip, initials: str) -> None:
        """Say who did it; who records stays as it is."""
        if initials != slip.entry.by:
            self._change(slip, {}, None, initials)

    def pick(self, slip: Slip, field: str, value: "Json") -> None:
        """Add one detail."""
        self._change(slip, {field: value}, None)

    def say_who(self, slip: Slip, initials: str) -> None:
        """Say who pressed; they record from now on."""
        slip.asks_who = False
        self._recorder.choose(initials)
        if initials == slip.entry.by:
            return
        self._change(slip, {}, None, initials)

    def undo(self, slip: Slip) -> None:
        """Strike the entry out, with what was added to it."""
        by = self._recorder.who

        def strike(logbook: "Logbook", _record: "Record") -> "Entry":
            struck = logbook.undo(by, slip.ids)
            slip.struck = 1
            while logbook.last_act(slip.ids) is not None:
                struck = logbook.undo(by, slip.ids)
                slip.struck += 1
            return struck

        self._do(slip, strike, State.UNDONE)

    def redo(self, slip: Slip) -> None:
        """Give back what was struck out."""
        by = self._recorder.who

        def give_back(logbook: "Logbook", _record: "Record") -> "Entry":
            for _ in range(slip.struck):
                given_back = logbook.redo(by)
            return given_back

        self._do(slip, give_back, State.SAVED, is_back=True)

    def _change(self, slip: Slip, added: "Details", at: "Moment | None", by: str | None = None) -> None:
        target = slip.entry
        by = by or target.by or self._recorder.who
        self._do(slip, lambda logbook, record: _complete(logbook, record, target, added, at, by), State.SAVED)

    def _do(
        self,
        slip: Slip,
        job: "Callable[[Logbook, Record], Entry]",
        state: State,
        *,
        is_back: bool = False,
    ) -> None:
        def done(entry: "Entry") -> None:
            slip.trouble, slip.state = "", state
            if state is State.SAVED and not is_back and entry.id != slip.entry.id:
                slip.entry = entry
                slip.ids.append(entry.id)
            self._access.when_changed.tell()

        def failed(sentence: str) -> None:
            slip.trouble = sentence
            self._access.when_changed.tell()

        self._access.act(job, done, failed)


def _complete(
    logbook: "Logbook", record: "Record", target: "Entry", added: "Details", at: "Moment | None", by: str
) -> "Entry":
    from carelog.analysis.in_force import Reading
    from carelog.analysis.marks import CHOSEN_AGAIN
    from carelog.app.logbook import NeedsReason
    from carelog.domain.trouble import Refused

    held = Reading(record.chain([target.id])).get(target.id)
    if held is None:
        raise Refused(say("This entry isn't in force any more. Look on the page Days."))
    try:
        try:
            return logbook.complete(held, added, at=at, by=by)
        except Refused:
            details = {**held.entry.details, **added}
            return logbook.amend(held, details, at=at, reason=say(CHOSEN_AGAIN), by=by)
    except NeedsReason:
        raise Refused(say("A nurse signed this day. Say why it is changed: on the page Days.")) from None
