"""The rows of a form: words left, control right; words above in little room, two rows abreast in much."""

from itertools import groupby

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QLayout, QWidget

from carelog.ui.help.explained import Explained
from carelog.ui.theme import STEP, TARGET, Size

FEW = 5  # rows that stand under one another however wide the window is
SHARES = (1, 3)
"""Of a row's width: the words', the control's."""
ROOM, BESIDE = 34, 54
"""In lines' heights: in less than the first the words go above, from the second on two rows lie abreast."""


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
        sides = 0 if room < ROOM else 2 if room >= BESIDE else 1
        if sides == self._sides:
            return
        self._sides = sides
        self._take_apart()
        row = 0
        for is_labelled, run in groupby(self._rows, key=lambda each: each[0] is not None):
            rows = list(run)
            if is_labelled and sides == 2:
                half = -(-len(rows) // 2)
                if len(rows) <= FEW:
                    self._fill(self._part(row, 0, 2), rows)
                else:
                    self._fill(self._part(row, 0), rows[:half])
                    self._fill(self._part(row, 1), rows[half:])
                row += 1
                continue
            for words, control in rows:
                self._put(self._grid, words, control, row)
                row += 2
        for column in range(2):
            self._grid.setColumnStretch(column, 1 if sides == 2 else SHARES[column])
        for number in range(2 * len(self._rows) + 2):
            self._grid.setRowStretch(number, 1 if number == row + 1 else 0)

    def _take_apart(self) -> None:
        """Let go of what was abreast; the widgets stay, and get their places anew."""
        for part in self._grid.children():
            if isinstance(part, QLayout):
                self._grid.takeAt(self._grid.indexOf(part))

    def _part(self, row: int, column: int, wide: int = 1) -> QGridLayout:
        """One side of two: a high row makes no gap in the other."""
        part = QGridLayout()
        self._grid.addLayout(part, row, column, 1, wide)
        return part

    def _fill(self, part: QGridLayout, rows: list[tuple[QWidget | None, QWidget]]) -> None:
        part.setVerticalSpacing(STEP)
        part.setHorizontalSpacing(2 * STEP)
        for column, share in enumerate(SHARES):
            part.setColumnStretch(column, share)
        for number, (words, control) in enumerate(rows):
            self._put(part, words, control, number)
        part.setRowStretch(len(rows), 1)

    def _put(self, grid: QGridLayout, words: QWidget | None, control: QWidget, row: int) -> None:
        if words is None:
            grid.addWidget(control, row, 0, 1, 2)
        elif self._sides == 0:
            grid.addWidget(words, row, 0, 1, 2)
            grid.addWidget(control, row + 1, 0, 1, 2)
        else:
            grid.addWidget(words, row, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(control, row, 1)
