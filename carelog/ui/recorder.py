"""Who records: the initials that each entry of this window bears."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from carelog.domain.instant import HOUR, Instant
from carelog.ui.present import Present

if TYPE_CHECKING:
    from carelog.app.outlook import Picture
    from carelog.app.ports import Clock, Ids
    from carelog.domain.entry import Details, Entry

LONG_PAUSE = 8 * HOUR


class Recorder:
    """Chosen by a press; at the start it is who wrote last."""

    def __init__(self, present: Present, clock: "Clock", ids: "Ids") -> None:
        self.who = ""
        """Initials; empty: nobody chosen."""
        self.chosen_at: Instant = 0
        self.when_chosen: list[Callable[[str], None]] = []
        """Told who was chosen, where somebody else recorded before."""
        self._present = present
        self._clock = clock
        self._ids = ids

    def choose(self, initials: str) -> None:
        """Who records from now on; empty: nobody chosen."""
        is_another = initials != self.who
        self.who, self.chosen_at = initials, self._present.now()
        self._present.when_changed.tell()
        for listener in self.when_chosen if is_another else ():
            listener(initials)

    def begin(self) -> None:
        """The record is open: who wrote in it last goes on."""
        picture = self._present.picture
        if not self.who and picture is not None:
            self.who = picture.last_by

    def draft(self, kind: str, details: "Details", note: str = "", by: str | None = None) -> "Entry":
        """An entry of now with its id and times fixed, not saved yet; `by` None: by whoever records."""
        from carelog.app.logbook import drafted

        return drafted(self._clock, self._ids, kind, details, self.who if by is None else by, note=note)

    def is_doubtful(self, now: Instant, pressed_at: Instant) -> bool:
        """Nobody is chosen, or nobody pressed for 8 h, or somebody else's shift has begun since."""
        from carelog.kinds.shift import SHIFT

        picture = self._present.picture
        shift = picture.latest.get(SHIFT.name) if picture else None
        if shift is not None and shift.entry.details.get("action") == "start":
            begun_by = shift.entry.by
            if begun_by and begun_by != self.who and shift.time > self.chosen_at:
                return True
        return not self.who or (pressed_at > 0 and now - pressed_at > LONG_PAUSE)


def names(picture: "Picture | None") -> tuple[tuple[str, str], ...]:
    """Initials and names of all recorders, in the order in which they were recorded."""
    if picture is None:
        return ()
    found: dict[str, str] = {}
    for held in picture.recorders:
        initials = str(held.entry.details["initials"])
        both = [each for each in (found.get(initials, ""), held.entry.details.get("name", "")) if each]
        found[initials] = " / ".join(dict.fromkeys(both))
    return tuple(found.items())
