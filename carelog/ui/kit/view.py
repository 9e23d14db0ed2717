"""What the pages of the household's things share: reading, what was just saved, and what can't be shown."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from carelog.domain.sure import SURE
from carelog.text import mark, say
from carelog.ui.access import Access
from carelog.ui.column import ColumnView
from carelog.ui.kit.reader import ThingsReader
from carelog.ui.kit.saved import Saving
from carelog.ui.present import Present
from carelog.ui.slips import Slips
from carelog.ui.theme import Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.ui.kit.reader import ThingsFound


class ThingsView(ColumnView):
    """Subclasses say what they show of it (`shown`) and fill the page with it (`fill_found`)."""

    title = ""
    is_by_minute = False
    """Whether what it shows changes by the minute, and not only by the day and by what is written."""

    def __init__(
        self,
        access: Access,
        present: Present,
        slips: Slips,
        name: str,
        sure: Callable[[], int] = lambda: SURE[0],
    ) -> None:
        """`name`: the page's; `sure`: in how many of 100 the stock is to outlast a delivery."""
        super().__init__()
        self._present = present
        self._reader = ThingsReader(access, present, self.refresh, sure, is_by_minute=self.is_by_minute)
        self._saving = Saving(slips, name, self.refresh)
        present.when_changed.append(self.look)

    def opened(self) -> None:
        self._saving.forget()
        self._reader.look()
        self.refresh()

    def look(self) -> None:
        """Something may have changed."""
        if self.isVisible():
            self._reader.look()
            self.refresh()

    def key(self) -> object:
        found, reader = self._reader.found, self._reader
        told = reader.trouble, reader.as_of_words(), self._saving.key(), self._present.stage
        return told, None if found is None else self.shown(found)

    def shown(self, found: "ThingsFound") -> object:
        """What is shown of the things, for comparison."""
        raise NotImplementedError

    def fill_found(self, found: "ThingsFound") -> None:
        """Add the widgets."""
        raise NotImplementedError

    def fill(self) -> None:
        self.heading(say(self.title))
        for widget in self._saving.told():
            self.across(widget)
        for words in (self._reader.trouble, self._reader.as_of_words()):
            if words:
                self.across(Words(words, Size.STRONG))
        found = self._reader.found
        if found is not None:
            self.fill_found(found)
        elif not self._reader.trouble:
            is_open = self._present.picture is not None
            self.waiting(say(mark("Reading …")) if is_open else self._present.unread())
