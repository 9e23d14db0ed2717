"""A quick cover for the screen: nothing about the person is readable; the emergency button stays."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.button import Main
from carelog.ui.theme import Size
from carelog.ui.words import Words


class Cover(QWidget):
    """One button takes it away."""

    def __init__(self, uncover: Callable[[], None]) -> None:
        super().__init__()
        layout = QVBoxLayout(self)
        layout.addStretch(1)
        words = Words(say("Covered"), Size.HEAD)
        words.setAlignment(Qt.AlignmentFlag.AlignCenter)
        layout.addWidget(words)
        self.button = Main(say("Show the board again"), "uncover", size=Size.NAME)
        self.button.clicked.connect(lambda: uncover())
        layout.addWidget(self.button, 0, Qt.AlignmentFlag.AlignCenter)
        layout.addStretch(2)

    def opened(self) -> None:
        """The button takes the focus, so that one key takes the cover away."""
        self.button.setFocus()
