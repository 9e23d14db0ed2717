"""The board's right side for a record that is read: flags, what the plan asks for, the last entry."""

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout

from carelog.analysis.glance import by_urgency, task_key, told_by_flag, without_late
from carelog.domain.due import Due
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import Home, Instant
from carelog.kinds import named_or_unknown
from carelog.text import mark, say, say_n
from carelog.ui import times
from carelog.ui.board.asked import AskedFor
from carelog.ui.board.silence import Silence
from carelog.ui.button import Button
from carelog.ui.flags import shown
from carelog.ui.flags.box import FlagBox
from carelog.ui.present import Present
from carelog.ui.slips import Slips
from carelog.ui.theme import Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.app.outlook import Picture

MOST_FLAGS = 3
MOST_LETTERS = 64
LAST_ENTRY = (
    mark("Last entry {time}, {ago}"),
    mark("Nothing else is flagged in what was recorded; last entry {time}, {ago}"),
    mark("Nothing is flagged in what was recorded; last entry {time}, {ago}"),
)
LAST_CARE = (
    mark("Last care written down {time}, {ago}"),
    mark("Nothing else is flagged in what was recorded; last care written down {time}, {ago}"),
    mark("Nothing is flagged in what was recorded; last care written down {time}, {ago}"),
)
"""By itself, beside flags, without any; of the newest entry, or of the newest care where that is none."""


Block = tuple[object, Callable[[QVBoxLayout], None]]
"""A part of the side: all that it shows hangs on the first; the second puts it there."""


class ReadSide:
    """Flags worst first, then what the plan asks for; after a silence that question, and what can't wait."""

    def __init__(
        self, present: Present, slips: Slips, go: Callable[[str], object], is_named: Callable[[Due], bool]
    ) -> None:
        """`is_named` tells of which tasks the reminder above speaks already."""
        self.asked = AskedFor(go)
        self._present = present
        self._go = go
        self.silence = Silence(present, slips, go)
        self._is_named = is_named

    def last_words(self, picture: "Picture", now: Instant) -> str:
        """The line about what was recorded last."""
        return last_line(self._present, picture, now, are_flags_folded=self.silence.is_folding(now))

    def blocks(self, picture: "Picture", now: Instant) -> Iterator[Block]:
        """What stands above what the plan asks for: what comes before all, then the flags."""
        day = picture.home.name, picture.home.day(now)
        zone = zone_line(self._present, now)
        as_of = as_of_words(picture) if picture.as_of is not None else ""
        is_folding = self.silence.is_folding(now)
        on_board = shown.on_board(self._present.flags or ())
        left = tuple(self.silence.left_open(on_board, now)) if is_folding else ()
        first = day, self._present.trouble, zone, as_of, self.silence.key(now), left
        yield first, lambda layout: self._add_first(layout, zone, as_of, left, now)
        if is_folding:
            return
        flags = None if self._present.flags is None else tuple(without_late(on_board, picture.dues))
        told = None if flags is None else (len(flags), *(_told(flag) for flag in flags[:MOST_FLAGS]))
        yield told, lambda layout: self._add_flags(layout, flags)

    def tell_asked(self, picture: "Picture", now: Instant) -> bool:
        """Let `asked` tell what the plan asks for; False where that is folded."""
        if self.silence.is_folding(now):
            return False
        self.asked.tell(picture, self._listed(picture), now)
        return True

    def _add_first(
        self, layout: QVBoxLayout, zone: str, as_of: str, left: Sequence[Flag], now: Instant
    ) -> None:
        if self._present.trouble:
            layout.addWidget(Words(self._present.trouble, Size.STRONG))
        if zone:
            layout.addWidget(Words(zone))
            change = Button(say("Change the home zone"), "home_zone")
            change.clicked.connect(lambda: self._go("home_zone"))
            layout.addWidget(change, 0, Qt.AlignmentFlag.AlignLeft)
        if as_of:
            layout.addWidget(Words(as_of))
        self._add_boxes(layout, left)  # what can't wait comes before the question
        if self.silence.since(now) is not None:
            layout.addWidget(self.silence.block(now))
        if self.silence.is_folding(now):
            words = say("Flags and what is due")
            button = Button.calling(words, "aside_unfold", self.silence.unfold)
            layout.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)

    def _add_flags(self, layout: QVBoxLayout, flags: Sequence[Flag] | None) -> None:
        if flags is None:
            layout.addWidget(Words(say("Flags: not read yet"), soft=True))
        else:
            self._add_boxes(layout, flags)

    def _add_boxes(self, layout: QVBoxLayout, flags: Sequence[Flag]) -> None:
        """The first of these flags in short, and the way to all of them."""
        for level, same in groupby(flags[:MOST_FLAGS], key=lambda flag: flag.level):
            box = FlagBox(level)
            for flag in same:
                _level, words, ended = _told(flag)
                box.add_words(words)
                if ended:
                    box.add_words(ended)
            layout.addWidget(box)
        if not flags:
            return
        more = len(flags) - MOST_FLAGS
        text = (
            say_n("one more flag", "{count} more flags", more).format(count=more)
            if more > 0
            else say("Open the flags")
        )
        button = Button(text, "flag_more")
        button.clicked.connect(lambda: self._go("flags"))
        layout.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)

    def _listed(self, picture: "Picture") -> list[Due]:
        """The dues that aren't told elsewhere: as a flag, or by the reminder above."""
        told = told_by_flag(picture.dues, self._present.flags or ())
        return by_urgency(
            due for due in picture.dues if task_key(due) not in told and not self._is_named(due)
        )


def as_of_words(picture: "Picture") -> str:
    """Of which moment the flags are, while the clock can't be believed."""
    assert picture.as_of is not None
    return say("Flags as of {time}.").format(time=times.near(picture.home, picture.as_of, picture.now))


def _told(flag: Flag) -> tuple[Level, str, str]:
    """All that is told of a flag here: its level, its words, how it ended (empty: it didn't)."""
    ended = say("Ended: {how}").format(how=flag.ended) if flag.ended else ""
    return flag.level, short_words(flag), ended


def short_words(flag: Flag) -> str:
    """A flag in short: its headline, and its reason where that is short too; all of it stands on its page."""
    words = f"{flag.headline} {flag.reasons}".strip()
    return words if len(words) <= MOST_LETTERS else flag.headline


def last_line(present: Present, picture: "Picture", now: Instant, *, are_flags_folded: bool) -> str:
    """The one line about what was recorded last; never that all is well, nor of flags that are hidden."""
    if picture.last is None:
        return say("Nothing is recorded yet")
    care = [held for kind, held in picture.latest.items() if named_or_unknown(kind).is_care]
    last = max(care, key=lambda held: held.time, default=picture.last)
    # An answer, a plan or a signature that was written since would hide how long no care was.
    alone, beside, none = LAST_CARE if care and last.time < picture.last.time else LAST_ENTRY
    if present.flags is None or (are_flags_folded and present.flags):
        words = alone
    else:
        words = beside if shown.on_board(present.flags) else none
    time, ago = times.near(picture.home, last.time, now), times.ago(last.time, now)
    return say(words).format(time=time, ago=ago)


def zone_line(present: Present, now: Instant) -> str:
    """Both times, when the computer's zone shows another time than the home zone."""
    picture, name = present.picture, present.zone()
    if picture is None or not name:
        return ""
    here = Home(name)
    if here.offset(now) == picture.home.offset(now):
        return ""
    return say("At home it is {home}. This computer's clock shows {here} ({zone}).").format(
        home=times.near(picture.home, now, now), here=times.clock(here, now), zone=name
    )
