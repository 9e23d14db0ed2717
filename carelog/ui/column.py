"""A scrolled page of parts under headings, in columns where it is wide, filled anew when it would differ."""

from collections.abc import Iterable

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.button import Button
from carelog.ui.columns import WideColumns
from carelog.ui.empty import Empty
from carelog.ui.flow import Flow
from carelog.ui.ringed import Scrolled
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words

LIST_LEAST = 360  # px at 100 %


class ColumnView(QWidget):
    """Subclasses say what it shows (`key`) and fill it (`fill`); the focus stays on the same name."""

    part_gap = 2 * STEP
    line_gap = STEP
    """Between what stands in one part."""

    def __init__(self) -> None:
        super().__init__()
        self._key: object = object()
        self._title = ""
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._scrolled: Scrolled | None = None
        self._body = QWidget()
        self._columns = WideColumns(self._body)
        self._column: QVBoxLayout | None = None

    def key(self) -> object:
        """What is shown, for comparison."""
        raise NotImplementedError

    def fill(self) -> None:
        """Add the widgets."""
        raise NotImplementedError

    def opened(self) -> None:
        """The page was opened."""
        self.refresh()

    def refresh(self) -> None:
        """Fill it anew, when it is seen and would show something else."""
        if not self.isVisible():
            return
        key = self.key()
        if key != self._key:
            self._key = key
            self._rebuild()

    def _rebuild(self) -> None:
        focused = self.window().focusWidget()
        has_focus = focused is not None and self.isAncestorOf(focused)
        name = focused.objectName() if focused is not None and has_focus else ""
        place = self._scrolled.verticalScrollBar().value() if self._scrolled is not None else 0
        self._body = QWidget()
        self._columns = WideColumns(self._body, self.part_gap)
        self._columns.setContentsMargins(2 * STEP, self.part_gap // 2, 2 * STEP, STEP)
        self._title = ""
        self._column = None
        self.fill()
        self._body.resize(self.size())
        old, self._scrolled = (
            self._scrolled,
            Scrolled(self._body, self._title or say("This page"), room=self.size()),
        )
        if old is not None:  # both at once in the layout, if only for a moment, are both seen, one half each
            self._layout.removeWidget(old)
        self._layout.addWidget(self._scrolled)
        self._scrolled.show()
        self._layout.activate()
        again = self._body.findChild(QWidget, name) if name else None
        if again is not None:
            again.setFocus()
        elif has_focus:
            self._scrolled.setFocus()
        if old is not None:
            old.hide()
            old.setParent(None)
            old.deleteLater()
        self._scrolled.verticalScrollBar().setValue(place)

    # Filling --------------------------------------------------------------------------------------

    def waiting(self, text: str) -> None:
        """What is said until there is something to show: it stands where that will begin."""
        self._columns.is_unfilled = True
        self.words(text, soft=True)

    def heading(self, text: str, size: Size = Size.HEAD) -> Words:
        """A heading: the page's own lies across all columns, a smaller one begins a part."""
        made = Words(text, size, heading=True)
        if not self._title:
            self._title = text
        if size is Size.HEAD:
            self.across(made)
        else:
            self.part()
            self.widget(made)
        return made

    def part(self) -> None:
        """Begin a part: what follows stays together in one column."""
        self._column = None

    def across(self, widget: QWidget, *, is_whole: bool = False) -> None:
        """Something that lies across all columns; what follows is a part of its own."""
        self._columns.add_across(widget, is_whole=is_whole)
        self.part()

    def empty(self, glyph: str, words: str, *acts: Button) -> None:
        """Nothing to show yet: why, and what to do next."""
        self._columns.is_unfilled = True
        self.across(Empty(glyph, words, *acts), is_whole=True)

    def _holder(self) -> QVBoxLayout:
        """The part that is being filled; an empty one is never made."""
        if self._column is None:
            holder = QWidget()
            self._column = QVBoxLayout(holder)
            self._column.setContentsMargins(0, 0, 0, 0)
            self._column.setSpacing(self.line_gap)
            self._columns.addWidget(holder)
        return self._column

    def words(self, text: str, size: Size = Size.TEXT, *, soft: bool = False) -> Words:
        """A paragraph."""
        made = Words(text, size, soft=soft)
        self.widget(made)
        return made

    def widget(self, widget: QWidget) -> None:
        """Any widget over the whole width of its column."""
        self._holder().addWidget(widget)

    def list(self, widgets: Iterable[QWidget], *, least: int = LIST_LEAST) -> None:
        """Many of one sort, one under another; in columns of so many px at least where there is room."""
        holder = QWidget()
        columns = WideColumns(holder, least=least)
        for widget in widgets:
            columns.addWidget(widget)
        self.across(holder)

    def row(self, *widgets: QWidget) -> QWidget:
        """Widgets side by side, going on in the next line."""
        made = row(*widgets)
        self.widget(made)
        return made


def row(*widgets: QWidget) -> QWidget:
    """Widgets side by side, going on in the next line."""
    holder = QWidget()
    flow = Flow(holder)
    for widget in widgets:
        flow.addWidget(widget)
    return holder
