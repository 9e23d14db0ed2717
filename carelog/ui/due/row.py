"""Dues in words and shape: a filled square for late, an open one for due."""

from collections.abc import Sequence

from PySide6.QtCore import QRect
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from carelog.domain.due import Due, DueState
from carelog.domain.moment import Home, Instant
from carelog.kinds import task_name
from carelog.text import say
from carelog.ui import naming, times
from carelog.ui.palette import INK, LINE
from carelog.ui.theme import Size, is_dark
from carelog.ui.words import Words

SQUARE = 13  # px


class Mark(QWidget):
    """A filled square (late), an open one (due), or nothing; the words beside say the same."""

    def __init__(self, state: DueState, *, is_at_top: bool = False) -> None:
        """`is_at_top`: beside the first of several lines, else beside their middle."""
        super().__init__()
        self.state = state
        self._is_at_top = is_at_top
        self.setFixedWidth(SQUARE + 9)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)

    def mark(self, state: DueState) -> None:
        """Stand for another state."""
        if state is not self.state:
            self.state = state
            self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        if self.state not in (DueState.LATE, DueState.DUE):
            return
        painter = QPainter(self)
        colour = self.palette().color(INK)
        height = self.fontMetrics().lineSpacing() if self._is_at_top else self.height()
        square = QRect(0, (height - SQUARE) // 2, SQUARE, SQUARE)
        if self.state is DueState.LATE:
            painter.fillRect(square, self.palette().color(LINE) if is_dark() else colour)  # less of it shines
        else:
            painter.setPen(QPen(colour, 2))
            painter.drawRect(square.adjusted(1, 1, -1, -1))


class DueRow:
    """One due in a grid of three columns: mark, name, time; what is late or due says so across two."""

    def __init__(self, grid: QGridLayout, row: int) -> None:
        self._grid, self._row = grid, row
        self._mark = Mark(DueState.LATER, is_at_top=True)
        around = grid.parentWidget()
        self._name, self._time = Words(parent=around), Words(soft=True, parent=around)
        self._both = Words(size=Size.STRONG, parent=around)
        self._is_now: bool | None = None
        grid.addWidget(self._mark, row, 0)

    def tell(self, due: Due, home: Home, now: Instant) -> None:
        """Show how this due stands."""
        name, time = due_texts(due, home, now)
        is_now = due.state in (DueState.LATE, DueState.DUE)
        self._name.say(name)
        self._time.say(time)
        self._both.say(say("{name}, {state}").format(name=name, state=time) if is_now else "")
        self._mark.mark(due.state)
        if is_now is not self._is_now:
            self._is_now = is_now
            self._place()

    def _place(self) -> None:
        """Only what is shown lies in the grid: how wide its columns are hangs on the hidden, too."""
        for label, column, wide in ((self._name, 1, 1), (self._time, 2, 1), (self._both, 1, 2)):
            if (label is self._both) == self._is_now:
                self._grid.addWidget(label, self._row, column, 1, wide)
                label.show()
            else:
                self._grid.removeWidget(label)
                label.hide()

    def go(self) -> None:
        """There are fewer dues than that now."""
        for widget in (self._mark, self._name, self._time, self._both):
            widget.setParent(None)
            widget.deleteLater()


class DueRows(QWidget):
    """Dues one below another: a row stays, whatever it tells now; rows come and go with their number."""

    def __init__(self) -> None:
        super().__init__()
        self._rows: list[DueRow] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setVerticalSpacing(4)
        self._grid.setColumnStretch(1, 5)
        self._grid.setColumnStretch(2, 4)

    def tell(self, dues: Sequence[Due], home: Home, now: Instant) -> None:
        """Show these, in this order."""
        while len(self._rows) > len(dues):
            self._rows.pop().go()
        while len(self._rows) < len(dues):
            self._rows.append(DueRow(self._grid, len(self._rows)))
        for row, due in zip(self._rows, dues, strict=True):
            row.tell(due, home, now)


def due_texts(due: Due, home: Home, now: Instant) -> tuple[str, str]:
    """A task in words, and how it stands."""
    return task_name(due.kind, due.where), naming.due_words(due, home, now)


def last_words(due: Due, home: Home, now: Instant) -> str:
    """When it was done last and by whom."""
    if due.last_at is None:
        return say("never recorded")
    who = due.last_by or say("no name")
    return say("last {time}, {who}").format(time=times.near(home, due.last_at, now), who=who)
