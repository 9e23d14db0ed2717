"""The course as a table of words, for whoever can't see the picture: a row a column of it, newest first."""

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtWidgets import QAbstractItemView, QFrame, QTableView

from carelog.analysis.course.told import CourseTable
from carelog.text import say
from carelog.ui.ringed import ScrollBar
from carelog.ui.theme import TARGET

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole


class CourseModel(QAbstractTableModel):
    """The table's cells."""

    def __init__(self, shown: CourseTable) -> None:
        super().__init__()
        self._shown = shown

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._shown.names)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._shown.rows)

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        if role in (Role.DisplayRole, Role.ToolTipRole):
            return self._shown.rows[index.column()][1][self.column_of(index.row())]
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Role.DisplayRole) -> Any:
        if role != Role.DisplayRole:
            return None
        if orientation == Qt.Orientation.Horizontal:
            return self._shown.rows[section][0]
        return self._shown.names[self.column_of(section)]

    def column_of(self, row: int) -> int:
        """The course's column that a row of the table tells of."""
        return len(self._shown.names) - 1 - row


class CourseTableView(QTableView):
    """Read with the arrow keys, cell by cell; the days stand at the left and stay there."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("course_table")
        self.setAccessibleName(say("The course as a table, newest first"))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setVerticalScrollBar(ScrollBar())

    def show_table(self, shown: CourseTable) -> None:
        """Show these cells."""
        old = self.model()
        self.setModel(CourseModel(shown))
        if old is not None:
            old.deleteLater()
        em = self.fontMetrics().averageCharWidth()
        self.verticalHeader().setDefaultSectionSize(max(3 * self.fontMetrics().lineSpacing() + 8, TARGET))
        self.horizontalHeader().setDefaultSectionSize(24 * em)
