"""Offers what happened since then to whoever is chosen after eight hours; nothing stands before the tiles."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from carelog.domain.moment import Instant
from carelog.text import mark, say
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.band import Band
from carelog.ui.newest import Newest
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder

if TYPE_CHECKING:
    from carelog.app.ports import Record

_BEFORE = mark("{who}, you wrote last {time}. A dozen lines tell what happened since.")
_NEVER = mark("{who}, you haven't written here before. A dozen lines tell what happened in the last days.")


class SinceOffer:
    """A band with two buttons, above a board that goes on as before."""

    def __init__(
        self,
        access: Access,
        present: Present,
        recorder: Recorder,
        go: Callable[[str], object],
        is_crowded: Callable[[], object],
    ) -> None:
        """`is_crowded`: what is urgent or overdue stands above the tiles; there is no room for another."""
        self._is_crowded = is_crowded
        self._access = access
        self._present = present
        self._recorder = recorder
        self._newest = Newest()
        self._words = ""
        self.band = Band("since_band")
        self.band.add_button(say("Read it"), "since_open", lambda: self._open(go))
        self._visit = self.band.add_button(say("Visit"), "since_visit", lambda: self._open(go, "visit"))
        self._visit.setAccessibleName(say("The nurse's visit"))
        self._visit.hide()
        self.band.add_button(say("Later"), "since_later", self.hide)
        recorder.when_chosen.append(self._look)
        present.when_changed.append(self._give_way)

    def _open(self, go: Callable[[str], object], page: str = "since") -> None:
        self.hide()
        go(page)

    def hide(self) -> None:
        """It was read, or isn't wanted now."""
        self._newest.forget()
        self._words = ""
        self.band.say("")

    def is_offered(self) -> bool:
        """Whether it waits to be read; where the band has no room, the board's side offers it alone."""
        return bool(self._words)

    def _give_way(self) -> None:
        wanted = "" if self._is_crowded() else self._words
        if wanted != self.band.words():
            self.band.say(wanted)

    def _look(self, initials: str) -> None:
        """When did they write last?"""
        from carelog.analysis.since import LONG_ENOUGH
        from carelog.app.writing import last_writing

        self.hide()
        if not initials or not self._access.is_open():
            return
        asking, now = self._newest.ask(), self._present.now()

        def last(record: "Record") -> Instant | None:
            found = last_writing(record, now + 1, initials)
            if found is None and record.last_written(now - LONG_ENOUGH) is None:
                return now  # the record has only begun: there is nothing to tell of before
            return None if found is None else found.recorded_at

        self._access.read(last, asking.only(lambda when: self._offer(initials, when)), lambda _sentence: None)

    def _offer(self, initials: str, last: Instant | None) -> None:
        from carelog.analysis.people import is_nurse
        from carelog.analysis.since import LONG_ENOUGH

        now, picture = self._present.now(), self._present.picture
        is_soon = last is not None and now - last < LONG_ENOUGH
        if picture is None or not picture.count or is_soon:
            return
        self._visit.setVisible(is_nurse(picture.recorders, initials))
        if last is None:
            self._words = say(_NEVER).format(who=initials)
        else:
            time = times.near(self._present.home(), last, now)
            self._words = say(_BEFORE).format(who=initials, time=time)
        self._present.when_changed.tell()
