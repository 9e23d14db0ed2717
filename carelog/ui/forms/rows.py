"""The rows of a form: words left, control right; words above in little room, two rows abreast in much."""

from itertools import groupby

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from carelog.ui.help.explained import Explained
from carelog.ui.theme import STEP, TARGET, Size

ROOM = 34  # in lines' heights: below this width the words go above; from twice as much on rows lie beside


class FormRows(QWidget):
    """Fills the widget it is given with rows."""

    def __init__(self, body: QWidget) -> None:
        super().__init__(body)
        self._body = body
        self._rows: list[tuple[QWidget | None, QWidget]] = []
        self._sides: int | None = None
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        self._grid.setVerticalSpacing(STEP)
        self._grid.setHorizontalSpacing(2 * STEP)
        outer = QGridLayout(body)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self)

    def add(self, words: str, control: QWidget, question: str = "") -> None:
        """A row: what it is, the question to ask if there is one, and the control."""
        text = f"{words}\n{question}" if question else words
        label = Explained(text, Size.STRONG)
        label.setMinimumHeight(TARGET)
        label.setAlignment(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeading)
        self._rows.append((label, control))
        self._sides = None
        self._arrange()

    def add_wide(self, widget: QWidget) -> None:
        """A widget over the whole width."""
        self._rows.append((None, widget))
        self._sides = None
        self._arrange()

    def show_row(self, control: QWidget, is_shown: bool) -> None:
        """Show or hide a row by its control."""
        for words, widget in self._rows:
            if widget is control:
                widget.setVisible(is_shown)
                if words is not None:
                    words.setVisible(is_shown)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._arrange()

    def _arrange(self) -> None:
        room = self.width() // self.fontMetrics().height()
        sides = 0 if room < ROOM else 2 if room >= 2 * ROOM else 1
        if sides == self._sides:
            return
        self._sides = sides
        row = 0
        for is_labelled, run in groupby(self._rows, key=lambda each: each[0] is not None):
            rows = list(run)
            half = -(-len(rows) // max(sides, 1)) if is_labelled else 1
            for number, (words, control) in enumerate(rows):
                side, down = divmod(number, half) if is_labelled else (0, number)
                self._put(words, control, row + 2 * down, 2 * side)
            row += 2 * (half if is_labelled else len(rows))
        for column in range(4):
            self._grid.setColumnStretch(column, (1, 3)[column % 2] if column < 2 * max(sides, 1) else 0)
        for number in range(2 * len(self._rows) + 2):
            self._grid.setRowStretch(number, 1 if number == row + 1 else 0)

    def _put(self, words: QWidget | None, control: QWidget, row: int, column: int) -> None:
        if words is None:
            self._grid.addWidget(control, row, 0, 1, 4)
        elif self._sides == 0:
            self._grid.addWidget(words, row, 0, 1, 2)
            self._grid.addWidget(control, row + 1, 0, 1, 2)
        else:
            self._grid.addWidget(words, row, column, Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(control, row, column + 1)
