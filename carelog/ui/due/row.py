"""One due in words and shape: a filled square for late, an open one for due."""

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


def add_due(grid: QGridLayout, row: int, due: Due, home: Home, now: Instant) -> None:
    """Put one due into a grid of three columns: mark, name, time; what is late or due says so across two."""
    name, state = due_texts(due, home, now)
    grid.addWidget(Mark(due.state, is_at_top=True), row, 0)
    if due.state in (DueState.LATE, DueState.DUE):
        words = say("{name}, {state}").format(name=name, state=state)
        grid.addWidget(Words(words, Size.STRONG), row, 1, 1, 2)
    else:
        grid.addWidget(Words(name), row, 1)
        grid.addWidget(Words(state, soft=True), row, 2)


def due_texts(due: Due, home: Home, now: Instant) -> tuple[str, str]:
    """A task in words, and how it stands."""
    return task_name(due.kind, due.where), naming.due_words(due, home, now)


def last_words(due: Due, home: Home, now: Instant) -> str:
    """When it was done last and by whom."""
    if due.last_at is None:
        return say("never recorded")
    who = due.last_by or say("no name")
    return say("last {time}, {who}").format(time=times.near(home, due.last_at, now), who=who)
