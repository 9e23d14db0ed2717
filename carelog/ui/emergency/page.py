"""The emergency page: at least 24 px, from the record, else from the newest good backup, else says so."""

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeAlias

from carelog.text import say
from carelog.ui import times
from carelog.ui.access import Stage
from carelog.ui.button import Button
from carelog.ui.column import Column
from carelog.ui.emergency.facts import facts
from carelog.ui.present import Present
from carelog.ui.theme import Size

if TYPE_CHECKING:
    from carelog.app.outlook import Picture
    from carelog.domain.moment import Instant


Found: TypeAlias = "tuple[Instant, Picture] | None"
Seek = Callable[[Callable[[Found], None], Callable[[str], None]], object]


class Emergency(Column):
    """Nothing to press but printing: it is there to be read."""

    def __init__(self, present: Present, seek: Seek, printed: Callable[[], str]) -> None:
        """`seek` looks for the newest good backup; `printed` prints the page and says how it went."""
        super().__init__()
        self._seek = seek
        self._present = present
        self._printed = printed
        self._said = ""
        self._is_seeking = False
        present.when_changed.append(self.refresh)

    def key(self) -> object:
        picture = self._present.picture
        shown = [(fact.heading, fact.text) for fact in facts(picture)] if picture else []
        return self._present.stage, shown, self._said, self._present.backup is not None

    def opened(self) -> None:
        """Opened: where there is no record to read, whatever the cause, look for its newest good backup."""
        super().opened()
        present = self._present
        is_without = present.picture is None and present.backup is None
        if is_without and present.stage in (Stage.MISSING, Stage.FAILED) and not self._is_seeking:
            self._is_seeking = True
            self._seek(self._found, self._lost)

    def _found(self, found: "tuple[Instant, Picture] | None") -> None:
        self._is_seeking = False
        if found is not None:
            self._present.show_backup(found)

    def _lost(self, _sentence: str) -> None:
        self._is_seeking = False

    def fill(self) -> None:
        picture = self._present.picture
        if picture is None:
            self._fill_without()
            return
        self._fill_with(picture)
        button = Button(say("Print this page"), "print_emergency")
        button.clicked.connect(self._print)
        self.row(button)
        if self._said:
            self.words(self._said)

    def _fill_with(self, picture: "Picture") -> None:
        for fact in facts(picture):
            self.words(fact.heading, Size.EMERGENCY_NAME)
            if fact.text:
                self.words(fact.text, Size.EMERGENCY)

    def _fill_without(self) -> None:
        found = self._present.backup
        if found is not None:
            written, picture = found
            when = times.near(picture.home, written, self._present.now())
            self.words(
                say("From a copy that holds all up to {when}. It may be out of date.").format(when=when),
                Size.EMERGENCY_NAME,
            )
            self._fill_with(picture)
            return
        if self._present.stage is Stage.OPENING:
            self.words(say("Opening the record, not read yet. Use the plan on paper."), Size.EMERGENCY)
        else:
            self.words(say("Not readable here: use the plan on paper."), Size.EMERGENCY)
        self.words(say("Emergency number"), Size.EMERGENCY_NAME)
        self.words(say("your country's emergency number"), Size.EMERGENCY)

    def _print(self) -> None:
        self._said = self._printed()
        self.refresh()
