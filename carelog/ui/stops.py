"""Where Tab stops, in the order in which the layouts are read: head, bands, page, rail."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from PySide6 import QtCore
from PySide6.QtWidgets import QLayout, QScrollArea, QStackedWidget, QWidget

if TYPE_CHECKING:
    from PySide6.QtCore import Qt


def stops(widget: QWidget) -> Iterator[QWidget]:
    """The widget and those in it that Tab reaches, in their layouts' order.

    Qt's own order is that of making, and what is made anew, such as the receipt's choices, comes last in it.
    """
    waiting: list[QWidget | QLayout | None] = [widget]
    while waiting:
        each = waiting.pop()
        if isinstance(each, QLayout):
            waiting += reversed(laid_in(each))
        elif each is not None and each.isVisible():
            if _is_reached(each) and each.isEnabled() and each.focusProxy() is None:
                yield each
            waiting.append(_content(each))


def laid_in(layout: QLayout) -> list[QWidget | QLayout]:
    """What lies in a layout, in its order.

    Its items are never asked for: PySide6 keeps what it hands out of them as long as the layout, also when
    they are gone with their widgets, and then takes whatever Qt makes at the same place for one of them.
    """
    owner = layout.parentWidget()
    places: dict[int, QWidget | QLayout] = {}
    for each in (*layout.children(), *(owner.children() if owner is not None else ())):
        if isinstance(each, QWidget | QLayout):
            places[layout.indexOf(each)] = each
    return [places[place] for place in sorted(places) if place >= 0]


def _is_reached(widget: QWidget) -> bool:
    policies = QtCore.Qt.FocusPolicy
    return widget.focusPolicy() in (policies.TabFocus, policies.StrongFocus, policies.WheelFocus)


def _content(widget: QWidget) -> QWidget | QLayout | None:
    """What of a widget is read on: the page that is open, what is scrolled, its layout."""
    if isinstance(widget, QStackedWidget):
        return widget.currentWidget()
    if isinstance(widget, QScrollArea):
        return widget.widget()
    from PySide6.QtWidgets import QAbstractItemView  # with its ten enumerations: nobody tabs before a paint

    return None if isinstance(widget, QAbstractItemView) else widget.layout()


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
    reasons = QtCore.Qt.FocusReason
    reach(found[place % len(found)], reasons.TabFocusReason if is_forward else reasons.BacktabFocusReason)
    return True


def reach(widget: QWidget, reason: "Qt.FocusReason") -> None:
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
