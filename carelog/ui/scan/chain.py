"""The tree that a scan walks: the window's stops of Tab, in rows and groups.

On the board first what was just saved, as long as its quick choices stand; the tiles' rows then come as
one group. Else what the page is for, row by row, its other parts, the bands, the ways to help (calling, the
emergency page), the pages, the head with the board's right side, and last “Stop scanning”. The order stays
the same, so that a hand can learn it.
"""

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QWidget

from carelog.ui.forms.control import Control
from carelog.ui.scan.stop import Deed, Stop, scrolled_area, stops_of
from carelog.ui.scan.walk import Node, group, parted
from carelog.ui.stops import laid_in, stops

if TYPE_CHECKING:
    from carelog.ui.scan.bar import ScanBar
    from carelog.ui.scan.pad import ScanPad
    from carelog.ui.window import Window


FORM = "form"


def tree(window: "Window", bar: "ScanBar", pad: "ScanPad | None") -> Node:
    """All that can be reached now; while somebody types, the letters or digits alone."""
    page, board = window.stack.currentWidget(), window.board
    aside: list[Stop] = []
    call = [Node(stop) for stop in _within(bar.call)]
    is_form = window.page() == FORM and pad is None
    if pad is not None:
        parts = parted(rows(_within(pad)))
    else:
        found = _within(page) if page is not None else []
        saved = [stop for stop in found if board.receipt.isAncestorOf(stop.widget)]
        aside = [stop for stop in found if board.aside.isAncestorOf(stop.widget)]
        parts = page_parts([stop for stop in found if stop not in (*saved, *aside)])
        if is_form and parts:  # its foot lies above the bar: one step fewer to all that follows
            parts[-1] = group([*(parts[-1].members or parts[-1:]), *call])
        if saved and parts:
            parts = [*together(saved), group(parts)]
        parts += _grouped(_bands(window))
    parts[1:1] = [Node(stop) for stop in _within(bar.undo)]
    if not is_form:
        parts += call
    emergency = window.head.emergency
    if emergency.isVisible():
        parts += [Node(stop) for stop in _within(emergency)]
    if pad is None:
        parts += parted([Node(stop) for stop in _within(window.rail)])
        head = [stop for stop in _within(window.head) if stop.widget is not emergency]
        parts += _grouped([*head, *aside])
    return Node(members=(*parts, *(Node(stop) for stop in _within(bar.button))))


def _within(widget: QWidget) -> list[Stop]:
    return [stop for each in stops(widget) for stop in stops_of(each)]


def _bands(window: "Window") -> list[Stop]:
    bands = [each for each in laid_in(window.bands) if isinstance(each, QWidget)]
    return [stop for band in bands for stop in _within(band)]


def _grouped(found: Iterable[Stop]) -> list[Node]:
    """These as one group, if there are any."""
    within = rows(list(found))
    return [group(within)] if within else []


def page_parts(found: Sequence[Stop]) -> list[Node]:
    """A page's rows: those that scroll, what keeps its place, and each other part as a group."""
    areas: dict[QWidget | None, list[Stop]] = {}
    for stop in found:
        areas.setdefault(_area(stop), []).append(stop)
    if not areas:
        return []
    main = max(areas, key=lambda area: (area is not None, len(areas[area])))
    made = parted(rows(areas[main]))
    for area, within in areas.items():
        if area is not main:
            made += together(within) if area is None else _grouped(within)
    return made


def together(found: Sequence[Stop]) -> list[Node]:
    """Each run of things that lie in the same widget as one group, on however many lines."""
    runs = groupby(found, key=lambda stop: id(_owner(stop.widget)))
    return [group([Node(stop) for stop in run]) for _owner_id, run in runs]


def _area(stop: Stop) -> QWidget | None:
    """Which scrolled area it belongs to."""
    return stop.widget if stop.deed in (Deed.SCROLL, Deed.ROW) else scrolled_area(stop.widget)


def rows(found: Sequence[Stop]) -> list[Node]:
    """Each line of things side by side that belong together; scrolling on comes last."""
    lines: list[list[Stop]] = []
    for stop in found:
        if stop.deed is Deed.SCROLL:
            continue
        if lines and _are_beside(lines[-1][-1], stop):
            lines[-1].append(stop)
        else:
            lines.append([stop])
    last = [Node(stop) for stop in found if stop.deed is Deed.SCROLL]
    return [*(group([Node(stop) for stop in line]) for line in lines), *last]


def _are_beside(one: Stop, other: Stop) -> bool:
    if _owner(one.widget) is not _owner(other.widget) or Deed.ROW in (one.deed, other.deed):
        return False
    window = one.widget.window()
    top = one.widget.mapTo(window, QPoint(0, 0)).y()
    middle = other.widget.mapTo(window, other.widget.rect().center()).y()
    return top <= middle < top + one.widget.height()


def _owner(widget: QWidget) -> QWidget | None:
    """The field of a form that it belongs to, else what it lies in."""
    parent = widget.parentWidget()
    while parent is not None and not isinstance(parent, Control):
        parent = parent.parentWidget()
    return parent or widget.parentWidget()
