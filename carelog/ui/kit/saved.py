"""What a page of things just saved, in words, with Undo beside it; the page stays where it is."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from carelog.domain.entry import Entry
from carelog.text import mark, say
from carelog.ui.button import Strong
from carelog.ui.kit.panel import beside
from carelog.ui.repeats import Repeats
from carelog.ui.slip import Slip, State
from carelog.ui.slips import Slips
from carelog.ui.theme import Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.app.logbook import Logbook


class Saving:
    """Saves for a page, and takes back; it says so until something else is saved or the page is opened."""

    def __init__(self, slips: Slips, name: str, refresh: Callable[[], object]) -> None:
        """`name` begins the names of its widgets."""
        self._slips = slips
        self._name = name
        self._refresh = refresh
        self._repeats = Repeats()
        self._slip: Slip | None = None
        self.trouble = ""

    def save(
        self,
        job: "Callable[[Logbook, str], Sequence[Entry]]",
        stamp: int | None,
        then: Callable[[], object] = lambda: None,
    ) -> None:
        """Do this in the record, by whoever records now; a second press in a moment does nothing.

        `stamp`: the time of the input event behind the press, on whichever of the page's buttons.
        """
        if not self._repeats.is_new(self._name, stamp):
            return

        def saved() -> None:
            self._slip, self.trouble = self._slips.newest, ""
            then()
            self._refresh()

        def failed(sentence: str) -> None:
            self.trouble = sentence
            self._refresh()

        self._slips.record(job, saved, failed)

    def forget(self) -> None:
        """The page is opened anew."""
        self._slip, self.trouble = None, ""

    @property
    def slip(self) -> Slip | None:
        """What was saved here, while nothing else was since."""
        return self._slip if self._slip is not None and self._slip is self._slips.newest else None

    def key(self) -> object:
        """What it says, for comparison."""
        slip = self.slip
        return self.trouble, slip and (slip.first.id, slip.state, slip.trouble)

    def told(self) -> list[QWidget]:
        """What it says, and Undo; nothing where nothing was saved."""
        from carelog.ui.board.said import entry_words

        slip, made = self.slip, list[QWidget]()
        trouble = self.trouble or ("" if slip is None else slip.trouble)
        if trouble:
            made.append(Words(trouble, Size.STRONG))
        if slip is not None:
            is_saved = slip.state is State.SAVED
            state = say(mark("saved")) if is_saved else say(mark("undone"))
            words = Words(f"{entry_words(slip)} {state}", Size.STRONG)
            undo = Strong.calling(
                say(mark("Undo")), f"{self._name}_undo", lambda: self._slips.acts.undo(slip)
            )
            made.append(beside(words, undo) if is_saved else words)
        return made
