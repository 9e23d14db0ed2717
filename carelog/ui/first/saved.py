"""What the last answer saved, with Undo beside it, always at the foot of the questions."""

from PySide6.QtCore import QEvent
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from carelog.text import say
from carelog.ui.announce import announce
from carelog.ui.board.acts import SlipActs
from carelog.ui.button import Strong, draw_box
from carelog.ui.desk import Desk
from carelog.ui.first.last import LastAnswer
from carelog.ui.palette import LINE
from carelog.ui.slip import State
from carelog.ui.theme import LARGE, STEP, Size, is_dark, percent_now
from carelog.ui.words import Words


class SavedLine(QWidget):
    """One answer may have made several entries; Undo takes back all of them. In large print it is short."""

    def __init__(self, desk: Desk, last: LastAnswer) -> None:
        super().__init__()
        self.setObjectName("basics_saved")
        self._desk = desk
        self._acts = SlipActs(desk.access, desk.recorder)
        self._last = last
        self._words = Words("", Size.STRONG)
        self._announced = ""
        self.undo = Strong(say("Undo"), "basics_undo")
        self.undo.clicked.connect(self._on_undo)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(2 * STEP, STEP // 2, 2 * STEP, STEP // 2)
        layout.addWidget(self._words, 1)
        layout.addWidget(self.undo)
        desk.present.when_changed.append(self._refresh)
        self._refresh()

    def _refresh(self) -> None:
        slips = [slip for slip in self._last.slips if slip in self._desk.slips.all]
        is_undone = bool(slips) and slips[-1].state is State.UNDONE
        words = self._last.words
        said = (say("Undone: {entry}") if is_undone else say("Saved: {entry}")).format(entry=words)
        short = say("Undone.") if is_undone else say("Saved.")
        self._words.say(short if percent_now() >= LARGE else said)
        self._words.setAccessibleName(said)
        if slips and said != self._announced and self.isVisible():
            self._announced = said
            announce(self, said)
        self.undo.setText(say("Redo") if is_undone else say("Undo"))
        self.undo.setAccessibleName(f"{self.undo.words}: {words}")
        self.setVisible(bool(slips))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._refresh()

    def _on_undo(self) -> None:
        for slip in reversed(self._last.slips):
            if slip.state is State.UNDONE:
                self._acts.redo(slip)
            else:
                self._acts.undo(slip)

    def paintEvent(self, _event: QPaintEvent) -> None:
        if not is_dark():
            painter = QPainter(self)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            draw_box(painter, self.rect().adjusted(STEP, 0, -STEP, 0), self.palette(), LINE, 1)
