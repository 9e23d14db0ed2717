"""Which page of the help is about where somebody is in the window."""

from PySide6.QtWidgets import QWidget

from carelog.domain.kind import Kind
from carelog.ui.board.order import every_tile
from carelog.ui.help.topics import TOPICS, kind_topic

BELONGS = {
    "since": "course",
    "others": "",
    "who": "settings",
    "typed": "sheet",
    "sides": "mistakes",
    "reading": "privacy",
    "code": "copies",
    "give": "copies",
    "more": "kinds",
    "first": "first_run",
    "basics": "first_run",
    "power": "worries/power_is_off",
    "outing": "kit",
    "home": "kit",
}
"""The pages of the window that a page of another name tells of."""


def topic_of(page: str, widget: QWidget | None) -> str:
    """The help's page about a form or a tile, else about the page that is open; empty: the list."""
    kind = _kind_of(widget)
    if kind:
        return kind_topic(kind)
    return BELONGS.get(page, page if any(each.name == page for each in TOPICS) else "")


def _kind_of(widget: QWidget | None) -> str:
    """The kind of the form that a widget lies in, or of the tile that it is."""
    tiles = {f"tile_{placed.name}": placed.kind.name for placed in every_tile()}
    while widget is not None:
        kind = getattr(widget, "kind", None)
        if isinstance(kind, Kind):
            return kind.name
        if widget.objectName() in tiles:
            return tiles[widget.objectName()]
        widget = widget.parentWidget()
    return ""
