"""The emergency page: at least 24 px, from the record, else from the newest good backup, else says so."""

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeAlias

from carelog.text import say
from carelog.ui import times
from carelog.ui.access import Stage
from carelog.ui.announce import announce
from carelog.ui.button import Button
from carelog.ui.column import ColumnView
from carelog.ui.emergency.facts import facts, first_facts, nothing_words, other_facts
from carelog.ui.present import Present
from carelog.ui.theme import STEP, Size

if TYPE_CHECKING:
    from carelog.app.outlook import Picture
    from carelog.domain.moment import Instant


Found: TypeAlias = "tuple[Instant, Picture] | None"
Seek = Callable[[Callable[[Found], None], Callable[[str], None]], object]


class Emergency(ColumnView):
    """Nothing to press but printing: it is there to be read."""

    part_gap, line_gap = STEP, 0  # most of it has to be seen at once

    def __init__(
        self,
        present: Present,
        seek: Seek,
        printed: "Callable[[Picture], str]",
        hand_over: Callable[[Callable[[str], None]], object],
    ) -> None:
        """`seek` looks for the newest good backup; `printed` prints the page and says how it went.

        `hand_over` prints the hand-over of what is shown, and tells how it goes.
        """
        super().__init__()
        self._seek = seek
        self._present = present
        self._printed = printed
        self._hand_over = hand_over
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
        self._title = say("Emergency page")  # it begins with the numbers, under no heading of its own
        if self._present.picture is not None:
            self._fill_with(self._present.picture)
        elif self._present.backup is not None:
            written, picture = self._present.backup
            when = times.near(picture.home, written, self._present.now())
            self.words(
                say("From a copy that holds all up to {when}. It may be out of date.").format(when=when),
                Size.EMERGENCY,
            )
            self._fill_with(picture)
        else:
            self._fill_without()

    def _fill_with(self, picture: "Picture") -> None:
        """What is needed at once in the largest letters, above the fold of a small window."""
        for fact in first_facts(picture):
            self.part()
            self.words(fact.heading, Size.EMERGENCY)
            if fact.text:
                self.words(fact.text, Size.EMERGENCY_NAME)
        button = Button(say("Print this page"), "print_emergency")
        button.clicked.connect(self.print)
        whole = say("Print the hand-over")
        self.part()
        self.row(button, Button.calling(whole, "print_handover", lambda: self._hand_over(self._tell)))
        if self._said:
            self.words(self._said)
        for fact in other_facts(picture):
            self.part()
            self.words(fact.heading, Size.EMERGENCY_HEAD)
            if fact.text:
                self.words(fact.text, Size.EMERGENCY)

    def _fill_without(self) -> None:
        if self._present.stage is Stage.MISSING:
            self.words(nothing_words(), Size.EMERGENCY_NAME)
            return
        self.words(say("Emergency number"), Size.EMERGENCY)
        self.words(say("your country's emergency number"), Size.EMERGENCY_NAME)
        if self._present.stage is Stage.OPENING:
            self.words(say("Opening the record, not read yet. Use the plan on paper."), Size.EMERGENCY)
        else:
            self.words(say("Not readable here: use the plan on paper."), Size.EMERGENCY)

    def print(self) -> None:
        """Ask which printer, and print what is shown; a page without anything of a person has no print."""
        picture = self._present.picture or (self._present.backup[1] if self._present.backup else None)
        if picture is None:
            return
        self._tell(self._printed(picture))

    def _tell(self, sentence: str) -> None:
        self._said = sentence
        announce(self, sentence)
        self.refresh()
