"""The table view of the timeline: fixed rows of two lines, headings across the whole width."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QRect, QSize
from PySide6.QtGui import QKeyEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
)

from carelog.text import say
from carelog.ui.button import RING_WIDTH
from carelog.ui.palette import RING
from carelog.ui.ringed import ScrollBar
from carelog.ui.theme import TARGET, percent_now
from carelog.ui.timeline.model import COLUMNS, GLYPH, TimelineModel

Index = QModelIndex | QPersistentModelIndex
NARROW = 90  # letters: below this the marks stand with the details
FOLDED = 67  # letters: below this what it is stands there too, as no name of a kind would fit


class RowRing(QStyledItemDelegate):
    """The row that the keys have reached is told by a ring around it: a filled one would shine at night."""

    def initStyleOption(self, option: QStyleOptionViewItem, index: Index) -> None:
        super().initStyleOption(option, index)
        option.state &= ~QStyle.StateFlag.State_HasFocus

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        super().paint(painter, option, index)
        view, place = self.parent(), option.rect
        assert isinstance(view, QTableView)
        if index.row() != view.currentIndex().row():
            return
        painter.save()
        painter.setClipRect(place)
        painter.setPen(QPen(view.palette().color(RING), RING_WIDTH))
        whole = QRect(0, place.y(), view.viewport().width(), place.height())
        painter.drawRect(whole.adjusted(1, 1, -2, -2))
        painter.restore()


class TimelineTable(QTableView):
    """Pressing a row, or Enter on it, opens the entry."""

    opens_rows = True

    def __init__(self, model: TimelineModel, open_row: Callable[[int], None]) -> None:
        super().__init__()
        self.setObjectName("timeline_list")
        self.setAccessibleName(say("Timeline, newest first"))
        self._rows = model
        self._open_row = open_row
        self.setModel(model)
        self.setItemDelegate(RowRing(self))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWordWrap(True)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.selectionModel().currentRowChanged.connect(lambda: self.viewport().update())
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.horizontalHeader().hide()
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.horizontalHeader().setMinimumSectionSize(1)  # of its own it asks for more, in large letters
        self.clicked.connect(self._on_click)
        model.rowsInserted.connect(self._span_headings)
        self.setVerticalScrollBar(ScrollBar())
        self._measure()

    def stands_at(self) -> str:
        """The first entry's id of the row that the ring is around; empty: of none."""
        index = self.currentIndex()
        return self._rows.row(index.row()).root if index.isValid() else ""

    def stand_at(self, root: str) -> None:
        """Put the ring around the row of an entry; around none where it isn't among the rows."""
        place = self._rows.place_of(root) if root else None
        if place is None and root:
            self.setCurrentIndex(QModelIndex())
        elif place is not None and place != self.currentIndex().row():
            self.setCurrentIndex(self._rows.index(place, 0))

    def _on_click(self, index: QModelIndex) -> None:
        if not self._rows.row(index.row()).is_heading:
            self._open_row(index.row())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        index = self.currentIndex()
        if event.text() in ("\r", "\n", " ") and index.isValid():
            self._on_click(index)
            return
        super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._measure()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_rows"):
            self._measure()

    def _measure(self) -> None:
        """Widths of the columns, the height of all rows, and how many letters have room."""
        metrics = self.fontMetrics()
        em = metrics.averageCharWidth()
        width = self.viewport().width()
        is_folded = width < FOLDED * em
        clock = metrics.horizontalAdvance("00:00" if is_folded else "(+00:00;") + 12
        who = metrics.horizontalAdvance("MMM" if is_folded else "MMMM") + 12
        glyph = GLYPH * percent_now() // 100
        self.setIconSize(QSize(glyph, glyph))
        title = 0 if is_folded else min(18 * em, width // 5) + glyph + 12
        is_narrow = width < NARROW * em
        marks = 0 if is_narrow else min(26 * em, width // 4)
        self.setColumnHidden(1, is_folded)
        self.setColumnHidden(len(COLUMNS) - 1, is_narrow)
        details = max(width - clock - who - title - marks, 12 * em)
        for column, each in enumerate((clock, title, details, who, marks)):
            self.setColumnWidth(column, each)
        self.verticalHeader().setMinimumSectionSize(TARGET)
        self.verticalHeader().setDefaultSectionSize(max(2 * metrics.lineSpacing() + 8, TARGET))
        letters = int(1.55 * (details - 8) / em), int(1.5 * (marks - 8) / em)
        self._rows.set_room(*letters, is_folded=is_folded)

    def _span_headings(self, _parent: QModelIndex, first: int, last: int) -> None:
        for number in range(first, last + 1):
            if self._rows.row(number).is_heading:
                self.setSpan(number, 0, 1, self._rows.columnCount())
