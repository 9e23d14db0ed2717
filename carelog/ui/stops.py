"""Where Tab stops, in the order in which the layouts are read: head, bands, page, rail."""

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QLayout, QScrollArea, QStackedWidget, QWidget


def stops(widget: QWidget) -> Iterator[QWidget]:
    """The widget and those in it that Tab reaches, in their layouts' order.

    Qt's own order is that of making, and what is made anew, such as the receipt's choices, comes last in it.
    """
    if not widget.isVisible():
        return
    if widget.isEnabled() and widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.focusProxy() is None:
        yield widget
    if isinstance(widget, QStackedWidget):
        yield from _in(widget.currentWidget())
    elif isinstance(widget, QScrollArea):
        yield from _in(widget.widget())
    elif not isinstance(widget, QAbstractItemView):
        yield from _in_layout(widget.layout())


def _in(widget: QWidget | None) -> Iterator[QWidget]:
    if widget is not None:
        yield from stops(widget)


def _in_layout(layout: QLayout | None) -> Iterator[QWidget]:
    if layout is None:
        return
    for number in range(layout.count()):
        item = layout.itemAt(number)
        if item is None:
            continue
        yield from _in(item.widget())
        yield from _in_layout(item.layout())


def step(body: QWidget, focused: QWidget | None, *, is_forward: bool) -> bool:
    """Move the focus to the next stop, or the one before; False when the focus is at none nor around one."""
    found = list(stops(body))
    if focused in found:
        place = found.index(focused) + (1 if is_forward else -1)
    else:
        within = [n for n, each in enumerate(found) if focused is not None and focused.isAncestorOf(each)]
        if not within:
            return False
        place = within[0] if is_forward else within[0] - 1
    reasons = Qt.FocusReason
    reach(found[place % len(found)], reasons.TabFocusReason if is_forward else reasons.BacktabFocusReason)
    return True


def reach(widget: QWidget, reason: Qt.FocusReason) -> None:
    """Give a widget the focus and scroll to it."""
    widget.setFocus(reason)
    parent = widget.parentWidget()
    while parent is not None:
        if isinstance(parent, QScrollArea):
            parent.ensureWidgetVisible(widget)
        parent = parent.parentWidget()


def scrolled_around(widget: QWidget) -> QWidget:
    """The scrolled area that a widget lies in; the widget itself where there is none."""
    parent = widget.parentWidget()
    while parent is not None and not isinstance(parent, QScrollArea):
        parent = parent.parentWidget()
    return parent or widget
