"""What is behind a figure: its entries newest first, and lines for what no entry stands for."""

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.button import Button
from carelog.ui.column import row
from carelog.ui.ringed import Ringed, Scrolled
from carelog.ui.theme import STEP, Size, dress
from carelog.ui.timeline.model import TimelineModel
from carelog.ui.timeline.rows import TimelineRow
from carelog.ui.timeline.table import TimelineTable
from carelog.ui.words import Words


class Behind(QWidget):
    """A list in place of the page, which a press or Escape brings back."""

    def __init__(
        self,
        title: str,
        lines: Sequence[str],
        rows: Sequence[TimelineRow],
        back: Callable[[], object],
        open_entry: Callable[[str], None],
    ) -> None:
        super().__init__()
        self._model = TimelineModel(lambda: None, text=Size.FAR, strong=Size.NAME)
        self.table = TimelineTable(self._model, lambda number: open_entry(self._model.row(number).root))
        self.table.setObjectName("visit_entries")
        self.table.setAccessibleName(say("The entries, newest first"))
        dress(self.table, Size.FAR)
        self._model.append(rows, is_done=True)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        column.setSpacing(STEP)
        column.addWidget(Words(title, Size.HEAD))
        self._back = Button.calling(say("Back to the visit"), "visit_back", back)
        dress(self._back, Size.FAR)
        column.addWidget(row(self._back))
        if lines:
            column.addWidget(Scrolled(_told(lines), title), 1)
        framed = Ringed(self.table)
        framed.setVisible(bool(rows))
        column.addWidget(framed, 2)

    def begin(self) -> None:
        """The keys go on in the list, at its first entry."""
        if self._model.rowCount() > 1:
            self.table.setCurrentIndex(self._model.index(1, 0))
            self.table.setFocus()
        else:
            self._back.setFocus()


def _told(lines: Sequence[str]) -> QWidget:
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 0, 0, 0)
    for line in lines:
        column.addWidget(Words(line, Size.FAR))
    column.addStretch(1)
    return holder
