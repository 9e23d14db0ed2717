"""After a time in which nobody wrote anything: one block asks whether the household was away."""

from collections.abc import Callable, Sequence
from enum import Enum
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from carelog.domain.flag import Flag, Level, Matter
from carelog.domain.moment import DAY_24_H, Instant
from carelog.kinds.gap import GAP
from carelog.kinds.stay import STAY
from carelog.text import say
from carelog.ui import times
from carelog.ui.button import Button
from carelog.ui.column import row
from carelog.ui.flags.box import FlagBox
from carelog.ui.present import Present
from carelog.ui.slips import Slips

if TYPE_CHECKING:
    from carelog.app.logbook import Logbook
    from carelog.app.outlook import Picture
    from carelog.domain.entry import Entry

ASKED_AFTER = DAY_24_H
"""Of silence, so that a night isn't asked about (our own choice)."""
CLOCK_ASKED_AFTER = 60 * DAY_24_H
"""After so long the computer's date may be wrong, which is asked first."""


class Step(Enum):
    """How far the questions have come."""

    AWAY = "away"
    WHERE = "where"


class Silence:
    """What is asked, and what an answer writes: a stay, or that nothing was written down."""

    def __init__(self, present: Present, slips: Slips, go: Callable[[str], object]) -> None:
        self._present = present
        self._slips = slips
        self._go = go
        self._left: Instant | None = None
        self._dated: Instant | None = None
        self._unfolded: Instant | None = None
        self._step = Step.AWAY
        self._trouble = ""

    def since(self, now: Instant) -> Instant | None:
        """When the record was last written to, where that is to be asked about; else None."""
        picture = self._present.picture
        if picture is None or picture.last_known is None or picture.as_of is not None or _is_away(picture):
            return None
        last = picture.last_known
        return last if now - last >= ASKED_AFTER and last != self._left else None

    def is_folding(self, now: Instant) -> bool:
        """Whether all else that can wait is folded beneath it."""
        last = self.since(now)
        return last is not None and self._unfolded != last

    def left_open(self, flags: Sequence[Flag], now: Instant) -> list[Flag]:
        """Of these flags those that stand open: all of them, or while it folds those that can't wait."""
        last = self.since(now)
        if last is None or self._unfolded == last:
            return list(flags)
        return [flag for flag in flags if not _can_wait(flag, last)]

    def unfold(self) -> None:
        """Show what has piled up while nobody wrote, on the board and on the page of flags."""
        self._unfolded = self.since(self._present.now())
        self._present.when_changed.tell()

    def key(self, now: Instant) -> object:
        """What the block shows, for comparison."""
        last = self.since(now)
        shown = self._step, self._dated, self._unfolded, self._trouble
        return last and (last, times.span(now - last), shown)

    def block(self, now: Instant) -> QWidget:
        """The block as it stands now."""
        last, picture = self.since(now), self._present.picture
        assert last is not None
        assert picture is not None
        box = FlagBox(Level.NOTE)
        if now - last > CLOCK_ASKED_AFTER and self._dated != last:
            self._ask_date(box, picture, now, last)
            return box
        box.add_words(
            say("Nobody wrote anything down from {day} to now, {span}. Were you away?").format(
                day=times.near(picture.home, last, now), span=times.span(now - last)
            )
        )
        box.add(row(*(self._where(last) if self._step is Step.WHERE else self._answers(last))))
        if self._trouble:
            box.add_words(self._trouble)
        return box

    def _ask_date(self, box: FlagBox, picture: "Picture", now: Instant, last: Instant) -> None:
        words = say("The last entry is {span} old. This computer says that today is {day}. Is that right?")
        box.add_words(words.format(span=times.span(now - last), day=times.full_day(picture.home.day(now))))
        box.add(
            row(
                Button.calling(say("Yes, that is today"), "silence_date_right", lambda: self._date(last)),
                Button.calling(say("No, set the time"), "silence_date_wrong", lambda: self._go("clock")),
            )
        )

    def _answers(self, last: Instant) -> Sequence[QWidget]:
        return (
            Button.calling(say("Record the stay"), "silence_stay", lambda: self._to(Step.WHERE)),
            Button.calling(say("Not written down"), "silence_gap", lambda: self._gap(last)),
            Button.calling(say("Leave it"), "silence_leave", lambda: self._leave(last)),
            Button.calling(say("Wrong date"), "silence_date_wrong", lambda: self._go("clock")),
        )

    def _where(self, last: Instant) -> Sequence[QWidget]:
        field = STAY.field("where")
        assert field is not None
        places = [
            Button.calling(field.type.words(place), f"silence_stay_{place}", partial(self._stay, last, place))
            for place in ("hospital", "respite", "other")
        ]
        return (*places, Button.calling(say("Back"), "silence_back", lambda: self._to(Step.AWAY)))

    # What an answer does ----------------------------------------------------------------------------

    def _to(self, step: Step) -> None:
        self._step = step
        self._present.when_changed.tell()

    def _date(self, last: Instant) -> None:
        self._dated = last
        self._present.when_changed.tell()

    def _leave(self, last: Instant) -> None:
        self._left, self._step = last, Step.AWAY
        self._present.when_changed.tell()

    def _gap(self, last: Instant) -> None:
        self._slips.press(GAP.name, {"since": self._present.home().moment(last).text()})
        self._leave(last)

    def _stay(self, last: Instant, place: str) -> None:
        """The stay from the last entry to now; its times can be changed like any entry's."""

        def job(logbook: "Logbook", by: str) -> "Sequence[Entry]":
            begin = self._present.home().moment(last)
            return [
                logbook.record(STAY.name, {"action": "start", "where": place}, by, begin),
                logbook.record(STAY.name, {"action": "end"}, by),
            ]

        self._slips.record(job, lambda: self._leave(last), self._failed)

    def _failed(self, sentence: str) -> None:
        self._trouble = sentence
        self._present.when_changed.tell()


def _can_wait(flag: Flag, last: Instant) -> bool:
    """A note can, and lateness that the silence itself made; what asks for a call today can't."""
    is_of_silence = flag.matter is Matter.LATENESS and flag.raised_at >= last
    return flag.level is Level.NOTE or (is_of_silence and flag.level is not Level.URGENT)


def _is_away(picture: "Picture") -> bool:
    stay = picture.latest.get(STAY.name)
    return stay is not None and stay.entry.details.get("action") == "start"
