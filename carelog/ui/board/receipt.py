"""The receipt: what was saved, when, by whom; Undo at its far end; quick choices for time and details."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QTimer
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.access import Stage
from carelog.ui.announce import announce
from carelog.ui.button import Main, Strong, draw_box
from carelog.ui.palette import ACCENT, LINE
from carelog.ui.present import Present
from carelog.ui.repeats import Repeats
from carelog.ui.slip import Slip, State
from carelog.ui.slips import Slips
from carelog.ui.theme import LARGE, Size, dress, is_dark, percent_now
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.ui.board.choices import Choices

HEIGHT = 86  # px at 100 %
SHAPES = (Size.RECEIPT, Size.STRONG)
"""How large the line is: the first that fits the room is taken. The choices always keep to one row."""
A_FRAME = 16  # ms
LONG = 400  # ms; what is saved sooner is never said to be not saved yet


class Receipt(QWidget):
    """Always at the same place, empty or not; where letters are large an empty one gives way to the tiles."""

    def __init__(self, present: Present, slips: Slips, open_form: Callable[[Slip], None]) -> None:
        super().__init__()
        self.setObjectName("receipt")
        self._present = present
        self._slips = slips
        self._line = Words("", Size.RECEIPT)
        self._more = Words("", Size.TEXT, soft=True)
        self._open_form = open_form
        self._choices: Choices | None = None
        """Made with the first press: an empty receipt has none to offer."""
        self.undo = Strong(say("Undo"), "undo", size=Size.NAME)
        self.undo.clicked.connect(self._on_undo)
        self._repeats = Repeats()
        self._told: tuple[str, str | None] = ("", None)
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.setInterval(LONG)
        self._late.timeout.connect(self._announce_late)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(A_FRAME)
        self._soon.timeout.connect(self._offer_now)
        self._again = Main(say("Try again"), "try_again")
        self._again.clicked.connect(slips.try_again)
        self._room = 0
        self._size = Size.RECEIPT
        self._lay_out()
        present.when_changed.append(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        layout = self._layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 4, 6, 4)
        left = self._left = QVBoxLayout()
        layout.addLayout(left, 1)
        left.setSpacing(2)
        for widget in (self._line, self._more):
            left.addWidget(widget)
        left.addStretch(1)
        layout.addWidget(self._again)
        layout.addWidget(self.undo)
        self.setMinimumHeight(HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def paintEvent(self, _event: QPaintEvent) -> None:
        if is_dark():  # its place is known; the line around it would only shine
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        slip = self._slip()
        is_fresh = slip is not None and self._is_fresh(slip)
        draw_box(painter, self.rect(), self.palette(), ACCENT if is_fresh else LINE, 2 if is_fresh else 1)

    # What it shows --------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the last press as it stands now."""
        slip = self._slip()
        waiting = self._slips.unsaved
        self._line.say(self._words(slip))
        self._line.set_soft(slip is None or not self._is_fresh(slip))
        more = self._waiting_words(waiting, slip)
        self._more.say(more)
        self._more.setVisible(bool(more))
        self._again.setVisible(any(each.state is State.FAILED for each in waiting))
        self._offer(slip)
        self._show_undo(slip)
        self._give_way()
        self._fit()
        self.setAccessibleName(say("Last saved"))
        self._announce(self._line.text())
        self.update()

    def _offer(self, slip: Slip | None) -> None:
        """The quick choices for what was saved a moment ago; others than before come with the next frame."""
        is_on = slip is not None and slip.state is State.SAVED and self._is_fresh(slip)
        if slip is not None and is_on and not self._made_choices().are_for(slip):
            self._made_choices().make_way()
            self._soon.start()
        elif self._choices is not None:
            self._choices.show_for(slip, is_on=is_on)

    def _offer_now(self) -> None:
        """That it is saved is painted: now what can be added."""
        slip = self._slip()
        if slip is not None and slip.state is State.SAVED and self._is_fresh(slip):
            self._made_choices().show_for(slip, is_on=True)
            self._fit()

    def _made_choices(self) -> "Choices":
        if self._choices is None:
            from carelog.ui.board.choices import Choices

            self._choices = Choices(self._present, self._slips.acts, self._open_form)
            self._left.insertWidget(2, self._choices)
        return self._choices

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._give_way()

    def _give_way(self) -> None:
        self.setHidden(self._slip() is None and percent_now() >= LARGE)

    def set_room(self, height: int) -> None:
        """How high it may be in px: where words are large and the window small, it says the same in less."""
        self._room = height
        self._fit()

    def _fit(self) -> None:
        if not self._room:
            return
        if self._choices is not None and not self._soon.isActive():
            self._choices.keep_to_a_row(self._choices_width())
        for size in SHAPES:
            if size is not self._size:
                self._size = size
                dress(self._line, size)
            if self._needed() <= self._room:
                return

    def _choices_width(self) -> int:
        beside = [each for each in (self.undo, self._again) if not each.isHidden()]
        taken = sum(each.sizeHint().width() + self._layout.spacing() for each in beside)
        return self.contentsRect().width() - 18 - taken

    def _needed(self) -> int:
        self._layout.invalidate()
        return max(self._layout.heightForWidth(self.width()), HEIGHT)

    def _announce(self, words: str) -> None:
        """A screen reader says what has changed; that something isn't saved yet only when it takes long."""
        slip = self._slips.newest
        told = words, None if slip is None else slip.first.id  # two presses in a minute have the same words
        if told == self._told:
            return
        self._told = told
        self.setAccessibleDescription(words)
        if slip is not None and slip.state is State.WAITING:
            self._late.start()
            return
        self._late.stop()
        if slip is not None:
            announce(self, words)

    def _announce_late(self) -> None:
        announce(self, self.accessibleDescription())

    def _slip(self) -> Slip | None:
        return self._slips.newest

    def _is_fresh(self, slip: Slip) -> bool:
        return slip.is_fresh(self._present.now())

    def _words(self, slip: Slip | None) -> str:
        if slip is None:
            if self._present.stage is Stage.MISSING:
                return say("Nothing is recorded: there is no record here yet")
            return say("Nothing recorded in this window yet")
        from carelog.ui.board.said import slip_words  # with the first press

        return slip_words(slip, self._present)

    def _entry_words(self, slip: Slip) -> str:
        from carelog.ui.board.said import told_words

        return told_words(slip, self._present)

    def _waiting_words(self, waiting: list[Slip], slip: Slip | None) -> str:
        trouble = next((each.trouble for each in waiting if each.trouble), "")
        others = [self._entry_words(each) for each in waiting if each is not slip]
        parts = [trouble]
        if others:
            parts.append(say("Not saved yet: {names}.").format(names=", ".join(others)))
        return " ".join(part for part in parts if part)

    def _show_undo(self, slip: Slip | None) -> None:
        can = self._can_undo(slip)
        self.undo.setVisible(can)
        if slip is not None and can:
            is_undone = slip.state is State.UNDONE
            self.undo.setText(say("Redo") if is_undone else say("Undo"))
            self.undo.setAccessibleName(f"{self.undo.words}: {self._entry_words(slip)}")

    def _can_undo(self, slip: Slip | None) -> bool:
        return slip is not None and self._slips.acts.may_undo(slip, self._present.now())

    def _on_undo(self) -> None:
        if not self._repeats.is_new("undo", self.undo.taken_stamp()):
            return
        slip = self._slip()
        if slip is not None and slip.state is State.UNDONE:
            self.give_back()
        else:
            self.take_back()

    def take_back(self) -> None:
        """Undo the last act of this window."""
        slip = self._slip()
        if slip is not None and slip.state is State.SAVED and self._can_undo(slip):
            self._slips.acts.undo(slip)

    def give_back(self) -> None:
        """Redo what was undone last."""
        slip = self._slip()
        if slip is not None and slip.state is State.UNDONE and self._can_undo(slip):
            self._slips.acts.redo(slip)
