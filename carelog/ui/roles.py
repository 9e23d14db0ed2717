"""Tells assistive tools what Qt can't guess: which texts are headings, and what belongs together."""

from PySide6.QtCore import QObject
from PySide6.QtGui import QAccessible, QAccessibleInterface
from PySide6.QtWidgets import QAccessibleWidget, QWidget

from carelog.ui.words import Words


def name_headings() -> None:
    """From now on headings are told as headings and groups as groups; called once, after the first paint."""
    if hasattr(QAccessible, "installFactory"):  # not in every Qt that this runs on
        QAccessible.installFactory(_told)


def _told(_class: str, widget: QObject) -> QAccessibleInterface | None:
    if isinstance(widget, Words) and widget.is_heading:
        return QAccessibleWidget(widget, QAccessible.Role.Heading)
    if isinstance(widget, QWidget) and getattr(widget, "is_group", False) and widget.accessibleName():
        return QAccessibleWidget(widget, QAccessible.Role.Grouping)
    return None
