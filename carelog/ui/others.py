"""The list behind the rail's last button: the pages that have no place on the rail."""

from collections.abc import Callable

from carelog.text import say
from carelog.ui.column import ColumnView
from carelog.ui.pages import Page, Spot, standing
from carelog.ui.rowbutton import RowButton


class Others(ColumnView):
    """One row a page: its glyph, its word, what is found there."""

    def __init__(self, go: Callable[[str], None], hidden: Callable[[], list[Page]]) -> None:
        """`hidden` gives the rail's own pages for which it is too short."""
        super().__init__()
        self._go = go
        self._hidden = hidden

    def key(self) -> object:
        return self._hidden()

    def fill(self) -> None:
        self.heading(say("More"))
        self.list(self._row(page) for page in (*self._hidden(), *standing(Spot.LIST)))

    def _row(self, page: Page) -> RowButton:
        row = RowButton(say(page.words), f"go_{page.name}", page.glyph, say(page.told))
        row.clicked.connect(lambda: self._go(page.name))
        return row
