"""A band above the page: something to know and buttons for it; it never goes by itself."""

from collections.abc import Callable

from PySide6.QtCore import QRect
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from carelog.ui.button import Button, draw_box
from carelog.ui.flow import Flow
from carelog.ui.palette import GROUND, INK
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words


class Band(QWidget):
    """Words and buttons; hidden while it has nothing to say."""

    def __init__(self, name: str, *, is_urgent: bool = False) -> None:
        super().__init__()
        self.setObjectName(name)
        self._is_urgent = is_urgent
        self._is_covered = False
        self._words = Words("", Size.NAME if is_urgent else Size.STRONG)
        if is_urgent:
            self._words.setForegroundRole(GROUND)
        self._buttons = QWidget()
        self._flow = Flow(self._buttons)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(2 * STEP, STEP // 2, 2 * STEP, STEP // 2)
        layout.addWidget(self._words, 1)
        layout.addWidget(self._buttons)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.hide()

    def add_button(self, words: str, name: str, pressed: Callable[[], None]) -> Button:
        """A button at its end."""
        button = Button(words, name)
        button.clicked.connect(lambda: pressed())
        self._flow.addWidget(button)
        self._buttons.setMinimumWidth(self._buttons.minimumWidth() + button.sizeHint().width() + STEP)
        return button

    def say(self, words: str) -> None:
        """Show these words; hide for none."""
        self._words.say(words)
        self.setAccessibleName(words)
        self.setVisible(bool(words) and not self._is_covered)

    def set_covered(self, is_covered: bool) -> None:
        """Hide it, or let it be seen again."""
        self._is_covered = is_covered
        self.setVisible(bool(self.words()) and not is_covered)

    def words(self) -> str:
        """What it says."""
        return self._words.text()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        colours = self.palette()
        if self._is_urgent:
            painter.fillRect(self.rect(), colours.color(INK))
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw_box(painter, self.rect().adjusted(STEP, 0, -STEP, 0), colours, INK, 1)
        painter.fillRect(QRect(STEP, 0, 4, self.height()), colours.color(INK))
