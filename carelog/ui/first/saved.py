"""What the last answer saved, with Undo beside it, always at the foot of the questions."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from carelog.text import say
from carelog.ui.announce import announce
from carelog.ui.board.said import entry_words
from carelog.ui.button import Strong, draw_box
from carelog.ui.desk import Desk
from carelog.ui.first.last import LastAnswer
from carelog.ui.palette import LINE
from carelog.ui.repeats import Repeats
from carelog.ui.slip import Slip, State
from carelog.ui.theme import LARGE, STEP, Size, is_dark, percent_now
from carelog.ui.words import Words


class SavedLine(QWidget):
    """One answer may have made several entries; Undo takes back all of them. In large print it is short."""

    def __init__(self, desk: Desk, last: LastAnswer) -> None:
        super().__init__()
        self.setObjectName("basics_saved")
        self._desk = desk
        self._last = last
        self._words = Words("", Size.STRONG)
        self._announced = ""
        self._repeats = Repeats()
        self.undo = Strong(say("Undo"), "basics_undo")
        self.undo.clicked.connect(self._on_undo)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(2 * STEP, STEP // 2, 2 * STEP, STEP // 2)
        layout.addWidget(self._words, 1)
        layout.addWidget(self.undo)
        desk.present.when_changed.append(self.refresh)
        self.refresh()

    def _slips(self) -> Sequence[Slip]:
        """The presses of the last answer; where something else was pressed since, that alone."""
        newest = self._desk.slips.newest
        if newest is None or newest.state not in (State.SAVED, State.UNDONE):
            return ()
        return self._last.slips if newest in self._last.slips else (newest,)

    def _can_undo(self, slips: Sequence[Slip]) -> bool:
        return bool(slips) and self._desk.slips.acts.may_undo(slips[-1], self._desk.present.now())

    def refresh(self) -> None:
        """Say what was saved last, unless a question was passed over since."""
        slips = self._slips()
        is_undone = bool(slips) and slips[-1].state is State.UNDONE
        words = self._last.words if slips is self._last.slips else "".join(map(entry_words, slips))
        said = (say("Undone: {entry}") if is_undone else say("Saved: {entry}")).format(entry=words)
        short = say("Undone.") if is_undone else say("Saved.")
        trouble = next((slip.trouble for slip in slips if slip.trouble), "")
        self._words.say(trouble or (short if percent_now() >= LARGE else said))
        self._words.setAccessibleName(trouble or said)
        if slips and (trouble or said) != self._announced and self.isVisible():
            self._announced = trouble or said
            announce(self, self._announced)
        self.undo.setText(say("Redo") if is_undone else say("Undo"))
        self.undo.setAccessibleName(f"{self.undo.words}: {words}")
        self.undo.setVisible(self._can_undo(slips))
        self.setVisible(bool(slips) and not self._last.is_passed)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.refresh()

    def _on_undo(self) -> None:
        if not self._repeats.is_new("undo", self.undo.taken_stamp()):
            return
        slips, acts = self._slips(), self._desk.slips.acts
        if slips and slips[-1].state is State.UNDONE:
            for slip in slips:
                acts.redo(slip)
        else:
            for slip in reversed(slips):
                acts.undo(slip)

    def paintEvent(self, _event: QPaintEvent) -> None:
        if not is_dark():
            painter = QPainter(self)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            draw_box(painter, self.rect().adjusted(STEP, 0, -STEP, 0), self.palette(), LINE, 1)
