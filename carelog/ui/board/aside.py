"""The board's right side: flags worst first, then what the plan asks for, then what was recorded last."""

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from PySide6 import QtCore
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from carelog.domain.instant import Instant
from carelog.text import say
from carelog.ui.access import Stage
from carelog.ui.button import Button
from carelog.ui.present import Present
from carelog.ui.slips import Slips
from carelog.ui.stops import reach, scrolled_around, stops
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.domain.due import Due
    from carelog.ui.board.asked import AskedFor
    from carelog.ui.board.read import Block, ReadSide
    from carelog.ui.board.silence import Silence


class Aside(QWidget):
    """Shows the picture of now in short; until the record is read, says so."""

    def __init__(self, present: Present, slips: Slips, go: Callable[[str], object]) -> None:
        super().__init__()
        self._present = present
        self._go = go
        self._slips = slips
        self.is_named: Callable[[Due], bool] = lambda _due: False
        """Whether the reminder above the page names a task: then it isn't listed a second time."""
        self.notices: list[Callable[[], str]] = []
        """Lines that other parts of the window have here, such as where the last copy lies."""
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(STEP)
        self._blocks: list[tuple[object, QWidget]] = []
        """What stands above what the plan asks for, each with all that it shows hangs on."""
        self._asked: AskedFor | None = None
        self._last = Words("", soft=True)
        self._layout.addWidget(self._last)
        self._offers: list[tuple[Button, Callable[[], str]]] = []
        self._layout.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.refresh()

    @cached_property
    def _read(self) -> "ReadSide":
        from carelog.ui.board.read import ReadSide

        made = ReadSide(self._present, self._slips, self._go, lambda due: self.is_named(due))
        self._asked = made.asked
        self._asked.leave = self._go_on
        self._layout.insertWidget(len(self._blocks), self._asked)
        return made

    def offer(self, page: str, words: Callable[[], str]) -> None:
        """A button beneath the lines, as long as it says that there is something to be done on that page."""
        button = Button.calling("", f"offer_{page}", lambda: self._go(page))
        button.setVisible(False)
        self._layout.insertWidget(self._layout.count() - 1, button, 0, QtCore.Qt.AlignmentFlag.AlignLeft)
        self._offers.append((button, words))

    @property
    def silence(self) -> "Silence":
        """What is asked after a time in which nobody wrote anything: one answer counts on every page."""
        return self._read.silence

    def is_asking(self) -> bool:
        """Whether it asks about a time in which nobody wrote anything, with all else folded."""
        return self._present.picture is not None and self.silence.is_folding(self._present.now())

    def refresh(self) -> None:
        """Show what stands now; nothing is touched when it reads the same as before."""
        now = self._present.now()
        self._last.say(self._last_words(now))
        for button, words in self._offers:
            said = words()
            if said != button.text():
                button.setText(said)
            button.setVisible(bool(said))
        picture = self._present.picture
        if picture is None or self._present.stage is not Stage.OPEN:
            self._show([((self._present.stage, self._present.trouble), self._fill_unread)])
            self._show_asked(False)
        else:
            self._show(list(self._read.blocks(picture, now)))
            self._show_asked(self._read.tell_asked(picture, now))

    def _show_asked(self, is_wanted: bool) -> None:
        if self._asked is None:
            return
        focused = self.window().focusWidget()
        if not is_wanted and focused is not None and self._asked.isAncestorOf(focused):
            self._go_on()
        self._asked.setVisible(is_wanted)

    def _show(self, wanted: "Sequence[Block]") -> None:
        """Make anew only what doesn't read the same as before."""
        before, self._blocks = self._blocks, []
        stay = [old for old, new in zip(before, wanted, strict=False) if old[0] == new[0]]
        gone = [body for key, body in before if (key, body) not in stay]
        for body in gone:
            self._layout.removeWidget(body)
        for place, (key, fill) in enumerate(wanted):
            is_same = place < len(before) and before[place] in stay
            self._blocks.append(before[place] if is_same else (key, self._made(place, fill)))
        for body in gone:
            self._hand_over(body)

    def _made(self, place: int, fill: Callable[[QVBoxLayout], None]) -> QWidget:
        body = QWidget()
        layout = QVBoxLayout(body)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(STEP)
        fill(layout)
        self._layout.insertWidget(place, body)
        body.setVisible(layout.count() > 0)
        return body

    def _hand_over(self, old: QWidget) -> None:
        """Take an old one out; the focus, if it was in there, goes on at what has the same name."""
        focused = self.window().focusWidget()
        if focused is not None and old.isAncestorOf(focused):
            self._go_on()
        old.hide()
        old.setParent(None)
        old.deleteLater()

    def _go_on(self) -> None:
        """The focus leaves what goes: for what has the same name, else for the first stop that stays."""
        focused = self.window().focusWidget()
        name = "" if focused is None else focused.objectName()
        parts = [body for _key, body in self._blocks]
        same = (body.findChild(QWidget, name) for body in parts)
        if self._asked is not None:
            parts.append(self._asked)
        first = (stop for part in parts for stop in stops(part) if stop is not focused)
        again = next((each for each in same if each is not None), None) or next(first, None)
        reach(again or scrolled_around(self), QtCore.Qt.FocusReason.OtherFocusReason)

    def _last_words(self, now: Instant) -> str:
        picture = self._present.picture
        if picture is None or self._present.stage is not Stage.OPEN:
            return ""
        notices = [notice() for notice in self.notices]
        last = self._read.last_words(picture, now)
        return "\n".join(words for words in (last, *notices) if words)

    def _fill_unread(self, layout: QVBoxLayout) -> None:
        layout.addWidget(Words(self._present.unread(), Size.NAME, soft=self._present.stage is Stage.OPENING))
        if self._present.stage is Stage.MISSING:
            begin = Button(say("Begin or open a record"), "go_first")
            begin.clicked.connect(lambda: self._go("first"))
            layout.addWidget(begin, 0, QtCore.Qt.AlignmentFlag.AlignLeft)
            return
        if self._present.trouble:
            layout.addWidget(Words(self._present.trouble))
            button = Button(say("Try again"), "open_again")
            button.clicked.connect(lambda: self._go("open_again"))
            layout.addWidget(button)
        for text in (say("Flags: not read yet"), say("What is due: not read yet")):
            layout.addWidget(Words(text, soft=True))
