"""Reminders: a band for what is due, a sound outside the quiet hours; never a record, never an alarm."""

from collections.abc import Callable, Sequence

from carelog.analysis.glance import by_urgency, task_key, told_by_flag
from carelog.domain.due import Due, DueState
from carelog.domain.entry import details_text
from carelog.domain.moment import MINUTE, Instant
from carelog.kinds import task_name
from carelog.text import say, say_n
from carelog.ui.announce import announce
from carelog.ui.band import Band
from carelog.ui.naming import due_words
from carelog.ui.present import Present

SNOOZE = 10 * MINUTE
PATIENCE = MINUTE
"""So long what is due at a start waits to be said until the flags are read: it may be overdue by them."""
MOST_NAMED = 2


class Reminders:
    """One band for all that is due; after a sleep it is one reminder too."""

    def __init__(self, present: Present, ring: Callable[[str], None], is_quiet: Callable[[], bool]) -> None:
        """`ring` makes the sound and the desktop's notice, where there are any."""
        self._present = present
        self._ring = ring
        self._is_quiet = is_quiet
        self._known: set[str] = set()
        self._hidden: set[str] = set()
        self._waiting: set[str] = set()
        self._named: set[str] = set()
        self._shown_at: Instant | None = None
        """Since when dues are shown without the flags; None: they are read."""
        self._snoozed_until: Instant | None = None
        self.holds_back: Callable[[], bool] = lambda: False
        """Whether something else is asked first: then it says in a few words how much is due."""
        self.when_renamed: Callable[[], None] = lambda: None
        self.band = Band("reminder_band", most_lines=1)
        self.band.add_button(say("Remind me in 10 min"), "reminder_later", self.snooze, say("in 10 min"))
        self.band.add_button(say("Hide"), "reminder_hide", self.hide)
        present.when_changed.append(self.refresh)

    def refresh(self) -> None:
        """Look what is due now."""
        picture = self._present.picture
        if picture is None:
            return
        now = self._present.now()
        if self._snoozed_until is not None:
            if now < self._snoozed_until:
                return
            self._snoozed_until = None
            self._known.clear()
        waiting = [due for due in picture.dues if due.state in (DueState.DUE, DueState.LATE)]
        keys = self._waiting = {_key(due) for due in waiting}
        is_early = self._is_early(now)
        is_new = not is_early and not keys <= self._known
        if not is_early:
            self._known = set(keys)
        self._hidden &= keys
        told = set() if self.holds_back() else told_by_flag(picture.dues, self._present.flags or ())
        shown = by_urgency(d for d in waiting if _key(d) not in self._hidden and task_key(d) not in told)
        self.band.say(self._words(shown, now), _counted(shown))
        self._name(() if self.holds_back() else shown[:MOST_NAMED])
        if is_new and shown and not self._is_quiet():
            self._ring(self.band.words())
        if is_new and shown:
            announce(self.band, self.band.words())

    def _is_early(self, now: Instant) -> bool:
        """Whether the flags are about to be read: what is due is shown, and said once they are."""
        if self._present.flags is not None:
            self._shown_at = None
            return False
        if self._shown_at is None:
            self._shown_at = now
        return 0 <= now - self._shown_at < PATIENCE

    def is_named(self, due: Due) -> bool:
        """Whether the band says this task's name now."""
        return _key(due) in self._named

    def snooze(self) -> None:
        """Say it again in 10 minutes; this isn't written to the record."""
        self._snoozed_until = self._present.now() + SNOOZE
        self._clear()

    def hide(self) -> None:
        """Hide what is shown until something else is due."""
        self._hidden = set(self._waiting)
        self._clear()

    def _clear(self) -> None:
        self.band.say("")
        self._name(())

    def _name(self, dues: Sequence[Due]) -> None:
        """What it names stands in no list beside; what it names no more stands there again."""
        named = {_key(due) for due in dues}
        if named != self._named:
            self._named = named
            self.when_renamed()

    def _words(self, dues: Sequence[Due], now: Instant) -> str:
        if not dues:
            return ""
        if self.holds_back():
            return _counted(dues)
        home = self._present.home()
        parts = [f"{task_name(due.kind, due.where)} {due_words(due, home, now)}" for due in dues[:MOST_NAMED]]
        if len(dues) > MOST_NAMED:
            parts.append(say("{count} more").format(count=len(dues) - MOST_NAMED))
        return "; ".join(parts)


def _counted(dues: Sequence[Due]) -> str:
    """How many tasks are overdue and how many due; the whole list stands on its page."""
    late = sum(due.state is DueState.LATE for due in dues)
    parts = []
    if late:
        parts.append(say_n("one overdue", "{count} overdue", late).format(count=late))
    if rest := len(dues) - late:
        parts.append(say_n("one due", "{count} due", rest).format(count=rest))
    return ", ".join(parts)


def _key(due: Due) -> str:
    return f"{due.kind} {details_text(due.where)} {due.due_at} {due.state.value}"
