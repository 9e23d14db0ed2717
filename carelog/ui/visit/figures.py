"""Figures that can be pressed: words with a line beneath them, and the table of two periods made of them."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QVBoxLayout, QWidget

from carelog.analysis.visit.door import DoorLine
from carelog.analysis.visit.figure import FigureRow, VisitFigure
from carelog.text import say
from carelog.ui.button import Button, draw_ring
from carelog.ui.column import row as side_by_side
from carelog.ui.palette import ACCENT, LINE
from carelog.ui.theme import LARGE, STEP, TARGET, Size, percent_now
from carelog.ui.words import Words

Open = Callable[[str, VisitFigure], None]
"""Shows what is behind a figure, under a title."""
EDGE, ABOVE = 4, 10  # px at the sides of a figure's words, and above and beneath them


class FigureButton(Button):
    """Words that wrap, with a line beneath; no frame, so that a page of them stays quiet."""

    def __init__(self, name: str, title: str, figure: VisitFigure, pressed: Open) -> None:
        super().__init__("", name)
        self.setAccessibleName(f"{title}: {figure.words}")
        what = say("shows the entries") if figure.entries else say("shows the days and times")
        self.setAccessibleDescription(what)
        self._words = Words(figure.words, Size.NAME if figure.is_marked else Size.FAR)
        self._words.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(EDGE, ABOVE, EDGE, ABOVE)
        self._column.addWidget(self._words)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.clicked.connect(lambda: pressed(title, figure))

    def sizeHint(self) -> QSize:
        return QSize(max(self._width_of_words() + 2 * EDGE + 2, TARGET), TARGET)

    def _width_of_words(self) -> int:
        return self._words.fontMetrics().horizontalAdvance(self._words.text())

    def minimumSizeHint(self) -> QSize:
        return QSize(max(self._column.minimumSize().width(), TARGET), TARGET)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours = self.palette()
        painter.setPen(QPen(colours.color(ACCENT), 3 if self.isDown() else 1))
        words = self._words.geometry()
        height = min(self._words.heightForWidth(words.width()), words.height())
        line = words.center().y() + height // 2 + EDGE
        painter.drawLine(words.left(), line, words.left() + min(self._width_of_words(), words.width()), line)
        if self.hasFocus():
            draw_ring(painter, self.rect(), colours)


def figure_widget(name: str, title: str, figure: VisitFigure, pressed: Open) -> QWidget:
    """A figure: pressed where there is something behind it, else its words alone."""
    if figure.can_be_opened:
        return FigureButton(name, title, figure, pressed)
    made = Words(figure.words, Size.NAME if figure.is_marked else Size.FAR)
    made.setContentsMargins(EDGE, 0, EDGE, 0)  # its words stand where those of the others do
    return made


def figures_row(name: str, title: str, figures: Sequence[VisitFigure], pressed: Open) -> QWidget:
    """Several figures of one thing, side by side."""
    made = [figure_widget(f"{name}_{number}", title, each, pressed) for number, each in enumerate(figures)]
    return made[0] if len(made) == 1 else side_by_side(*made)


class VisitRows(QWidget):
    """Rows in columns with a hairline above each; in large letters a row's first stands over the rest."""

    def __init__(self, stretches: Sequence[int]) -> None:
        super().__init__()
        self._stretches = stretches
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(STEP)
        self._grid.setVerticalSpacing(2)
        self._rows: list[tuple[QWidget, ...]] = []
        self._is_stacked: bool | None = None

    def add(self, *widgets: QWidget) -> None:
        """One row."""
        self._rows.append(widgets)

    def add_heading(self, text: str) -> None:
        """A heading over what follows, across all columns."""
        made = Words(text, Size.NAME, heading=True)
        made.setContentsMargins(0, STEP, 0, 0)
        self._rows.append((made,))

    def arrange(self) -> None:
        """Put all that was added in its place."""
        is_stacked = percent_now() >= LARGE
        if is_stacked == self._is_stacked:
            return
        self._is_stacked = is_stacked
        for column, stretch in enumerate(self._stretches):
            self._grid.setColumnStretch(column, 0 if is_stacked and column == 0 else stretch)
        line = 0
        for first, *others in self._rows:
            is_alone = is_stacked or not others
            self._grid.addWidget(first, line, 0, 1, len(self._stretches) if is_alone else 1)
            self._grid.setRowMinimumHeight(line, 0 if is_alone else TARGET)  # as high as rows to press
            line += int(is_stacked and bool(others))
            for column, each in enumerate(others, start=1):
                self._grid.addWidget(each, line, column)
            line += 1

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and self._is_stacked is not None:
            self.arrange()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(QPen(self.palette().color(LINE), 1))
        for first, *others in self._rows[1:]:
            y = min(each.geometry().top() for each in (first, *others)) - 1
            painter.drawLine(0, y, self.width(), y)


def titled(title: str, beside: str = "", *, is_marked: bool = False) -> QWidget:
    """What a row is about, and beneath it what its figures lie against."""
    if not beside:
        return Words(title, Size.NAME if is_marked else Size.FAR)
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    column.addWidget(Words(title, Size.NAME if is_marked else Size.FAR))
    column.addWidget(Words(beside, Size.FAR, soft=True))
    return holder


def compared_table(rows: Sequence[FigureRow], heads: Sequence[str], pressed: Open) -> QWidget:
    """Each row's figures of the days and of those beside them."""
    made = VisitRows((5, 5, 4))
    made.setObjectName("visit_numbers")
    made.add(*(Words(each, Size.NAME) for each in ("", *heads)))
    group = ""
    for each in rows:
        if each.group and each.group != group:
            group = each.group
            made.add_heading(group)
        here = figures_row(f"here_{each.name}", f"{each.title}, {heads[0]}", each.here, pressed)
        before = figures_row(f"before_{each.name}", f"{each.title}, {heads[1]}", each.before, pressed)
        is_marked = any(figure.is_marked for figure in each.here)
        made.add(titled(each.title, each.beside, is_marked=is_marked), here, before)
    made.arrange()
    return made


def door_table(lines: Sequence[DoorLine], pressed: Open) -> QWidget:
    """Each question of hers, and the answer."""
    made = VisitRows((2, 5))
    made.setObjectName("visit_door")
    for each in lines:
        figures = figures_row(f"door_{each.name}", each.title, each.figures, pressed)
        made.add(Words(each.title, Size.FAR, soft=True), figures)
    made.arrange()
    return made
