"""The words of the pages at the window's foot, and the one constant line beneath them."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.button import Page
from carelog.ui.flow import Flow
from carelog.ui.pages import CONSTANT, PAGES
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words


class Foot(QWidget):
    """One button a page, and the line that stands on every page."""

    def __init__(self, go: Callable[[str], None]) -> None:
        super().__init__()
        self._buttons: dict[str, Page] = {}
        row = QWidget()
        flow = Flow(row, gap=STEP)
        for name, words in PAGES:
            button = Page(say(words), f"go_{name}", is_one_of=True)
            button.switched.connect(lambda _is_on, page=name: go(page))
            self._buttons[name] = button
            flow.addWidget(button)
        line = Words(say(CONSTANT), Size.LINE, soft=True)
        line.setObjectName("constant_line")
        line.setAlignment(Qt.AlignmentFlag.AlignCenter)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(2 * STEP, 0, 2 * STEP, 2)
        layout.setSpacing(0)
        layout.addWidget(row)
        layout.addWidget(line)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def show_open(self, page: str) -> None:
        """Mark the page that is open."""
        for name, button in self._buttons.items():
            button.show_on(name == page)
