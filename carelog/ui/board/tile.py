"""A tile: its words, and beneath them the last time and who."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.button import Button, draw_box, draw_ring
from carelog.ui.palette import ACCENT, INK, LINE
from carelog.ui.theme import BEDSIDE_TARGET, Size, is_dark
from carelog.ui.words import Words

FORM_MARK = "…"


class TileButton(Button):
    """One tile."""

    def __init__(self, name: str, words: str, *, is_at_once: bool, parent: QWidget | None = None) -> None:
        super().__init__("", f"tile_{name}", parent, Size.TILE)
        self.title = words
        self.is_at_once = is_at_once
        self._name = self._label(words if is_at_once else words + FORM_MARK, Size.TILE)
        self._last = self._label(say("not read yet"), Size.TEXT)
        self._last.set_soft(True)
        layout = self._column = QVBoxLayout(self)
        layout.setContentsMargins(10, 8, 6, 8)
        layout.setSpacing(0)
        layout.addWidget(self._name)
        layout.addStretch(1)
        layout.addWidget(self._last)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.MinimumExpanding)
        self.setMinimumSize(BEDSIDE_TARGET, BEDSIDE_TARGET)
        self.show_last("")

    def _label(self, text: str, size: Size) -> Words:
        label = Words(text, size, parent=self)
        label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        return label

    def show_last(self, words: str) -> None:
        """When it was done last and by whom; empty: not known."""
        self._last.say(words)
        does = say("records at once") if self.is_at_once else say("opens a form")
        self.setAccessibleName(f"{self.title}, {words}" if words else self.title)
        self.setAccessibleDescription(does)

    def needed_width(self) -> int:
        """The width below which a word of its name would be cut."""
        metrics = self._name.fontMetrics()
        return max(metrics.horizontalAdvance(word) for word in self._name.text().split(" ")) + 20

    def sizeHint(self) -> QSize:
        return self._column.sizeHint().expandedTo(self.minimumSize())

    def minimumSizeHint(self) -> QSize:
        return self._column.minimumSize().expandedTo(self.minimumSize())

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        outline, width = (ACCENT, 2.0) if self.is_at_once else (LINE, 1.0)
        if self.isDown():
            outline, width = INK, 4.0
        if self.is_at_once or self.isDown() or not is_dark():  # fewer lines shine at night
            draw_box(painter, self.rect(), self.palette(), outline, width)
        if self.hasFocus():
            draw_ring(painter, self.rect(), self.palette())
