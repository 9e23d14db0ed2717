"""The clock can't be right: one band on every page says so, and a page asks what time it is."""

from collections.abc import Callable, Mapping
from datetime import date, time
from typing import TYPE_CHECKING

from carelog.app.reckoning import SLACK
from carelog.domain.field import CLOCK
from carelog.domain.moment import Instant
from carelog.text import say, say_n
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.band import Band
from carelog.ui.button import Button, Main
from carelog.ui.column import ColumnView
from carelog.ui.forms.lines import Narrow
from carelog.ui.newest import Newest
from carelog.ui.parts import Parts
from carelog.ui.present import Present
from carelog.ui.ringed import Line
from carelog.ui.theme import Size

if TYPE_CHECKING:
    from carelog.app.doubt import Answered
    from carelog.app.reckoning import Doubt, Reckoning


class DoubtBand:
    """Both times, and the two answers; hidden while nothing speaks against the clock."""

    def __init__(self, access: Access, present: Present, parts: Parts, go: Callable[[str], None]) -> None:
        self._access = access
        self._present = present
        self._parts = parts
        self._was_doubted = False
        self._is_paying = False
        self._paid_for: Mapping[str, Instant] = {}
        self.band = Band("clock_band")
        self.band.add_button(say("The clock is right"), "clock_right", self._believe)
        self.band.add_button(say("Set the time"), "clock_set", lambda: go("clock"))
        present.when_changed.append(self.refresh)

    def refresh(self) -> None:
        """Look whether the clock is believed."""
        doubt = self._parts.doubt()
        was_doubted, self._was_doubted = self._was_doubted, doubt is not None
        self.band.say(question(self._present, doubt) if doubt is not None else "")
        if was_doubted and doubt is None:
            self._present.look()
        self._put_right()

    def settle(self, now: Instant) -> None:
        """Somebody said what time it is: reckon with it."""
        reckoning = self._parts.reckoning
        if reckoning is not None:
            doubt = reckoning.doubt()
            reckoning.settle(now)
            if doubt is not None and now < doubt.written:
                self._find_misdated(reckoning, now)
            self.refresh()

    def _find_misdated(self, reckoning: "Reckoning", now: Instant) -> None:
        """What was written while the clock was ahead, unseen, is asked about."""
        from carelog.app.doubt import misdated

        self._access.read(
            lambda record: misdated(record, now),
            lambda found: self._ask_about(reckoning, found),
            lambda _sentence: None,
        )

    def _ask_about(self, reckoning: "Reckoning", found: list[str]) -> None:
        reckoning.ask_about(found)
        self._present.when_changed.tell()

    def _believe(self) -> None:
        doubt = self._parts.doubt()
        if doubt is not None:
            self.settle(doubt.shown)

    def _put_right(self) -> None:
        """What was recorded while the clock was in doubt goes to its right time."""
        reckoning = self._parts.reckoning
        if reckoning is None or self._is_paying or not self._access.is_open():
            return
        owed = reckoning.owed()
        if owed == self._paid_for:  # nothing, or what lies in other records
            return
        self._paid_for = owed
        from carelog.app.doubt import pay

        self._is_paying = True
        self._access.act(
            lambda logbook, record: pay(reckoning, logbook, record),
            lambda _moved: self._paid(),
            lambda _sentence: self._paid(),
        )

    def _paid(self) -> None:
        self._is_paying = False


class AskedBand:
    """Entries that stand at a wrong time, of which only a person knows when that was."""

    def __init__(
        self, access: Access, present: Present, parts: Parts, open_entry: Callable[[str], None]
    ) -> None:
        self._access, self._parts, self._open_entry = access, parts, open_entry
        self._newest = Newest()
        self._still: tuple[str, ...] = ()
        self.band = Band("asked_band", most_lines=2)
        self.band.add_button(say("Show it"), "asked_show", lambda: self._show())
        self.band.add_button(say("Leave it so"), "asked_leave", self._leave)
        present.when_changed.append(self.refresh)

    def refresh(self) -> None:
        """Look which of them this record holds, and whether somebody has put them right."""
        reckoning = self._parts.reckoning
        asked = reckoning.asked() if reckoning is not None and self._access.is_open() else ()
        if not asked:
            self._say(())
            return
        from carelog.app.doubt import standing

        asking = self._newest.ask()
        self._access.read(
            lambda record: standing(record, asked), asking.only(self._seen), lambda _sentence: None
        )

    def _seen(self, found: "Answered") -> None:
        reckoning = self._parts.reckoning
        if reckoning is not None and found.answered:
            reckoning.paid(found.answered)
        self._say(found.still)

    def _say(self, still: tuple[str, ...]) -> None:
        self._still = still
        words = say_n(
            "One entry stands at a wrong time: the clock was wrong when it was written. When was it?",
            "{count} entries stand at a wrong time: the clock was wrong when they were written. "
            "When was the first?",
            len(still),
        )
        short = say_n(
            "One entry stands at a wrong time.", "{count} entries stand at a wrong time.", len(still)
        )
        said = [each.format(count=len(still)) for each in (words, short)]
        self.band.say(*said if still else ("",))

    def _show(self) -> None:
        if self._still:
            self._open_entry(self._still[0])

    def _leave(self) -> None:
        """The first of them may stand where it is."""
        reckoning = self._parts.reckoning
        if reckoning is not None and self._still:
            reckoning.paid(self._still[:1])
            self.refresh()


def question(present: Present, doubt: "Doubt") -> str:
    """What is wrong with the clock, and the question."""
    from carelog.app.doubt import sentence

    return f"{sentence(doubt, present.zone())} {say('What time is it?')}"


class ClockPage(ColumnView):
    """Asks for the day and the time; what was recorded meanwhile is put at its right time then."""

    def __init__(
        self,
        present: Present,
        doubted: "Callable[[], Doubt | None]",
        settle: Callable[[Instant], None],
        go: Callable[[str], object],
    ) -> None:
        super().__init__()
        self._present = present
        self._doubted = doubted
        self._settle = settle
        self._go = go
        self._trouble = ""
        self._day, self._time = "", ""

    def opened(self) -> None:
        doubt = self._doubted()
        taken = doubt.taken if doubt is not None else self._present.now()
        home = self._present.home()
        self._day, self._time = home.day(taken).isoformat(), times.clock(home, taken)[:5]
        super().opened()

    def key(self) -> object:
        return self._trouble, self._doubted() is None, self._day, self._time

    def fill(self) -> None:
        self.heading(say("What time is it?"))
        doubt = self._doubted()
        if doubt is not None:
            self.words(question(self._present, doubt))
        self.words(say("Type the day and the time at home. The computer's own clock isn't changed."))
        self._day_line = Line("clock_day", say("Day, like 2026-11-28"))
        self._day_line.setText(self._day)
        self._time_line = Line("clock_time", say("Time, like 03:10"))
        self._time_line.setText(self._time)
        save = Main(say("This is the time"), "clock_save")
        save.clicked.connect(self._save)
        back = Button(say("Back"), "clock_back")
        back.clicked.connect(lambda: self._go("board"))
        self.row(Narrow(self._day_line), Narrow(self._time_line))
        if self._trouble:
            self.words(self._trouble, Size.STRONG)
        self.row(save, back)

    def _save(self) -> None:
        self._day, self._time = self._day_line.text().strip(), self._time_line.text().strip()
        instant = self._read()
        if instant is None:
            self._trouble = say("Type the day like 2026-11-28 and the time like 03:10.")
            self.refresh()
            return
        self._trouble = ""
        self._settle(instant)
        self._go("board")

    def _read(self) -> Instant | None:
        try:
            day = date.fromisoformat(self._day)
        except ValueError:
            return None
        clock = self._time if len(self._time) > 4 else f"0{self._time}"
        if CLOCK.problem(clock) is not None:
            return None
        found = self._present.home().at(day, time.fromisoformat(clock))
        now = self._present.now()
        return now if abs(found - now) < SLACK // 15 else found
