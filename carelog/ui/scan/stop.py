"""What a scan can press: a button, a field, a row of a table, more of a page."""

from dataclasses import dataclass
from enum import Enum

from PySide6.QtCore import QPoint, QRect
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractScrollArea,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QWidget,
)
from shiboken6 import isValid

from carelog.text import say

SCROLLED = 0.8
"""How much of what is seen is scrolled on: the last lines stay in sight."""


class Deed(Enum):
    """What the switch does at a stop."""

    PRESS = "press"
    TYPE = "type"
    SCROLL = "scroll"
    ROW = "row"


@dataclass(frozen=True, slots=True)
class Stop:
    """One place where the scan stops to be pressed."""

    widget: QWidget
    deed: Deed
    row: int = 0

    @property
    def name(self) -> str:
        """Its object's name, and what else tells it from another."""
        return f"{self.widget.objectName() or type(self.widget).__name__} {self.deed.value} {self.row}"

    def is_there(self) -> bool:
        """Whether it can still be seen and pressed."""
        return isValid(self.widget) and self.widget.isVisible() and self.widget.isEnabled()

    def words(self) -> str:
        """How it is called."""
        if self.deed is Deed.SCROLL:
            return say("More of this page")
        if isinstance(self.widget, QAbstractItemView):
            return str(self.widget.model().index(self.row, 0).data(ACCESSIBLE) or "")
        told = QAccessible.queryAccessibleInterface(self.widget).text(QAccessible.Text.Name)
        first = told.split(", ")[0]
        return first if first.count("(") == first.count(")") else told

    def place(self, within: QWidget) -> QRect:
        """Where it lies in another widget, as far as it is seen."""
        shown = self.widget
        if isinstance(shown, QAbstractItemView) and self.deed is Deed.ROW:
            rect = shown.visualRect(shown.model().index(self.row, 0))
            row = QRect(0, rect.y(), shown.viewport().width(), rect.height())
            shown, area = shown.viewport(), row
        else:
            area = shown.rect()
        place = QRect(shown.mapTo(within, area.topLeft()), area.size())
        frame = scrolled_area(self.widget)
        if frame is not None:
            view = frame.viewport()
            place = place.intersected(QRect(view.mapTo(within, QPoint(0, 0)), view.size()))
        return place

    def show(self) -> None:
        """Scroll to it."""
        frame = scrolled_area(self.widget)
        if frame is not None:
            frame.ensureWidgetVisible(self.widget)

    def press(self) -> None:
        """Do what it is for; typing is the scan's own."""
        widget = self.widget
        if isinstance(widget, QAbstractButton):
            widget.click()
        elif isinstance(widget, QAbstractItemView) and self.deed is Deed.ROW:
            index = widget.model().index(self.row, 0)
            widget.setCurrentIndex(index)
            widget.clicked.emit(index)
        elif isinstance(widget, QAbstractScrollArea):
            bar = widget.verticalScrollBar()
            on = bar.value() + round(bar.pageStep() * SCROLLED)
            bar.setValue(0 if bar.value() >= bar.maximum() else on)


ACCESSIBLE = 11  # Qt.ItemDataRole.AccessibleTextRole, as a number that a model takes


def scrolled_area(widget: QWidget) -> QScrollArea | None:
    """The scrolled area that a widget lies in; None: in none."""
    parent = widget.parentWidget()
    while parent is not None and not isinstance(parent, QScrollArea):
        parent = parent.parentWidget()
    return parent


def stops_of(widget: QWidget) -> list[Stop]:
    """What can be pressed of a widget that Tab reaches."""
    if isinstance(widget, QAbstractButton):
        return [Stop(widget, Deed.PRESS)]
    if isinstance(widget, QLineEdit | QPlainTextEdit):
        return [Stop(widget, Deed.TYPE)] if not widget.isReadOnly() else []
    found: list[Stop] = []
    if isinstance(widget, QAbstractItemView) and getattr(widget, "opens_rows", False):
        found += [Stop(widget, Deed.ROW, row) for row in _rows_seen(widget)]
    if isinstance(widget, QAbstractScrollArea) and widget.verticalScrollBar().maximum() > 0:
        found.append(Stop(widget, Deed.SCROLL))
    return found


def _rows_seen(view: QAbstractItemView) -> list[int]:
    """The rows that are wholly seen and can be opened."""
    from PySide6.QtCore import Qt

    model, height = view.model(), view.viewport().height()
    first = view.indexAt(QPoint(1, 1)).row()
    found = []
    for row in range(max(first, 0), model.rowCount()):
        index = model.index(row, 0)
        rect = view.visualRect(index)
        if rect.top() >= height:
            break
        if rect.top() >= 0 and index.flags() & Qt.ItemFlag.ItemIsSelectable:
            found.append(row)
    return found
