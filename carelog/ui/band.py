"""A band above the page: something to know and buttons for it; it never goes by itself."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QRect, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from carelog.ui.button import Button, draw_box
from carelog.ui.flow import Flow
from carelog.ui.palette import INK
from carelog.ui.theme import HUGE, LARGE, STEP, Size, is_dark, percent_now
from carelog.ui.urgency import draw_urgent, urgent_ink
from carelog.ui.words import Words

MORE = " …"
MOST_HEIGHT = 10_000  # px, more than any text here takes


class Band(QWidget):
    """Words and buttons; hidden while it has nothing to say."""

    def __init__(self, name: str, *, is_urgent: bool = False, most_lines: int = 0) -> None:
        """`most_lines`: how many lines of large letters it may take; 0: as many as it needs."""
        super().__init__()
        self.setObjectName(name)
        self._is_urgent = is_urgent
        self._is_covered = False
        self._most_lines = most_lines
        self._said: tuple[str, ...] = ("",)
        self._words = Words("", Size.NAME if is_urgent else Size.STRONG)
        self._brief: list[tuple[Button, str, str]] = []
        self._buttons = QWidget()
        self._flow = Flow(self._buttons)
        layout = self._layout = QHBoxLayout(self)
        layout.setContentsMargins(2 * STEP, STEP // 2, 2 * STEP, STEP // 2)
        layout.addWidget(self._words, 1)
        layout.addWidget(self._buttons)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.hide()

    def add_button(self, words: str, name: str, pressed: Callable[[], None], brief: str = "") -> Button:
        """A button at its end; `brief`: what it says where letters are huge."""
        button = Button.calling(words, name, pressed)
        if brief:
            button.setAccessibleName(words)
            self._brief.append((button, words, brief))
        self._flow.addWidget(button)
        return button

    def say(self, words: str, *shorter: str) -> None:
        """Show these words; hide for none. `shorter`: what large letters show where they wouldn't fit."""
        if (words, *shorter) == self._said:
            return  # it is said twice a minute
        self._said = (words, *shorter)
        self._fit()
        self.setAccessibleName(words)
        self.setVisible(bool(words) and not self._is_covered)

    def set_covered(self, is_covered: bool) -> None:
        """Hide it, or let it be seen again."""
        self._is_covered = is_covered
        self.setVisible(bool(self.words()) and not is_covered)

    def words(self) -> str:
        """What it says, also where less is shown."""
        return self._said[0]

    def event(self, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.LayoutRequest, QEvent.Type.Resize, QEvent.Type.PaletteChange):
            self._fit()
        return super().event(event)

    def _fit(self) -> None:
        """Keep the buttons in one line where half the width allows; show the first words that fit beside."""
        for button, words, brief in self._brief:
            shown = brief if percent_now() >= HUGE else words
            if button.words != shown:
                button.setText(shown)
        wanted = self._flow.sizeHint().width()
        self._buttons.setMinimumWidth(min(wanted, self.width() * 3 // 5))
        if self._is_urgent:
            self._words.setForegroundRole(urgent_ink())
        whole = next((each for each in self._said if self._fits(each)), None)
        self._words.say(self._cut(self._said[-1]) if whole is None else whole)

    def _cut(self, words: str) -> str:
        """As many of the words as fit; the first one always stays."""
        kept = words.split(" ")
        while len(kept) > 1 and not self._fits(" ".join(kept) + MORE):
            kept.pop()
        return " ".join(kept) + MORE

    def _fits(self, words: str) -> bool:
        if not self._most_lines or percent_now() < LARGE:
            return True
        metrics, sides = self._words.fontMetrics(), self._layout.contentsMargins()
        room = self.width() - sides.left() - sides.right() - self._layout.spacing()
        area = QRect(0, 0, max(room - self._buttons.minimumWidth(), 1), MOST_HEIGHT)
        taken = metrics.boundingRect(area, Qt.TextFlag.TextWordWrap, words)
        return (
            taken.width() <= area.width()
            and taken.height() < (self._most_lines + 0.5) * metrics.lineSpacing()
        )

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        colours = self.palette()
        if self._is_urgent:
            draw_urgent(painter, self.rect(), colours)
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if not is_dark():  # fewer lines shine at night
            draw_box(painter, self.rect().adjusted(STEP, 0, -STEP, 0), colours, INK, 1)
        painter.fillRect(QRect(STEP, 0, 4, self.height()), colours.color(INK))
