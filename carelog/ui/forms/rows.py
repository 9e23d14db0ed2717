"""The rows of a form: words left, control right; words above it where there is little room."""

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from carelog.ui.theme import STEP, TARGET, Size
from carelog.ui.words import Words

ROOM = 34  # in lines' heights: below this width the words go above


class FormRows(QWidget):
    """Fills the widget it is given with rows."""

    def __init__(self, body: QWidget) -> None:
        super().__init__(body)
        self._body = body
        self._rows: list[tuple[QWidget | None, QWidget]] = []
        self._is_stacked: bool | None = None
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
        label = Words(text, Size.STRONG)
        label.setMinimumHeight(TARGET)
        label.setAlignment(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeading)
        self._rows.append((label, control))
        self._is_stacked = None
        self._arrange()

    def add_wide(self, widget: QWidget) -> None:
        """A widget over the whole width."""
        self._rows.append((None, widget))
        self._is_stacked = None
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
        is_stacked = self.width() < ROOM * self.fontMetrics().height()
        if is_stacked == self._is_stacked:
            return
        self._is_stacked = is_stacked
        for number, (words, control) in enumerate(self._rows):
            if words is None:
                self._grid.addWidget(control, 2 * number, 0, 1, 2)
            elif is_stacked:
                self._grid.addWidget(words, 2 * number, 0, 1, 2)
                self._grid.addWidget(control, 2 * number + 1, 0, 1, 2)
            else:
                self._grid.addWidget(words, 2 * number, 0, Qt.AlignmentFlag.AlignTop)
                self._grid.addWidget(control, 2 * number, 1)
        self._grid.setColumnStretch(0, 1)
        self._grid.setColumnStretch(1, 3)
        self._grid.setRowStretch(2 * len(self._rows) + 1, 1)
