"""What happened since whoever records was last here: read, left for the next, printed."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from carelog.domain.moment import DAY_24_H
from carelog.kinds.note import NOTE
from carelog.kinds.shift import SHIFT
from carelog.text import mark, say, say_n
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.button import Button, Main
from carelog.ui.column import ColumnView, row
from carelog.ui.emergency.facts import person_words
from carelog.ui.newest import Newest
from carelog.ui.pages import CONSTANT
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder
from carelog.ui.slips import Slips
from carelog.ui.theme import Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.analysis.since import Since
    from carelog.domain.entry import Details

_LAST = mark("{who}, your last entry was {time}, {ago}.")
_NEVER = mark("{who}, you haven't written here before. These are the last {days} days.")
_FEWER = mark("{who}, your last entry was {time}. These are the last {days} days.")
_BY = mark("{entries} since then, by {writers}.")
_FOOT = mark("It holds what was recorded. What nobody wrote down isn't here.")


class SincePage(ColumnView):
    """A dozen lines under six headings; the board is one key away."""

    def __init__(
        self,
        access: Access,
        present: Present,
        recorder: Recorder,
        slips: Slips,
        open_form: "Callable[[str, Details], None]",
        go: Callable[[str], object],
        tiles: Sequence[tuple[str, Callable[[], object]]],
    ) -> None:
        """`tiles`: the words of the board's first tiles, and what a press on them does."""
        super().__init__()
        self._access = access
        self._present = present
        self._recorder = recorder
        self._slips = slips
        self._open_form = open_form
        self._go = go
        self._tiles = tiles
        self._newest = Newest()
        self._found: Since | None = None
        self._trouble = ""
        present.when_changed.append(self._look)

    def opened(self) -> None:
        self._look()
        self.refresh()

    def key(self) -> object:
        return self._found, self._trouble, self._recorder.who, self._present.stage

    # Reading --------------------------------------------------------------------------------------

    def _look(self) -> None:
        """Read it anew: somebody else was chosen, or something was written."""
        picture, who = self._present.picture, self._recorder.who
        if picture is None or not self.isVisible():
            return
        from carelog.app.since import since_of

        asking = self._newest.ask()
        self._access.read(
            lambda record: since_of(record, picture, who),
            asking.only(self._on_found),
            asking.only(self._failed),
        )

    def _on_found(self, found: "Since") -> None:
        self._found = found
        self.refresh()

    def _failed(self, sentence: str) -> None:
        self._trouble = sentence
        self.refresh()

    # Showing --------------------------------------------------------------------------------------

    def fill(self) -> None:
        self.heading(say("Since you were last here"))
        if self._trouble:
            self.words(self._trouble, Size.STRONG)
        found = self._found
        if found is None:
            self.waiting(self._present.unread() if self._present.picture is None else say("Reading …"))
            return
        self.across(Words(self._first_words(found)))
        self.across(row(*self._acts()))
        for part in found.parts:
            self.heading(part.title, Size.NAME)
            for line in part.lines:
                self.words(line)
            if part.more:
                self.words(part.more_words, soft=True)
        self.across(Words(say(_FOOT), soft=True))
        self.across(row(*self._board_tiles()))

    def _first_words(self, found: "Since") -> str:
        who = found.by or say("no name")
        days = max(round((found.now - found.start) / DAY_24_H), 1)
        if found.last is None:
            words = say(_NEVER).format(who=who, days=days)
        else:
            time = times.near(found.home, found.last, found.now)
            is_whole = found.start <= found.last
            ago = times.ago(found.last, found.now)
            words = say(_LAST if is_whole else _FEWER).format(who=who, time=time, ago=ago, days=days)
        if found.count:
            entries = say_n("one entry", "{count} entries", found.count).format(count=found.count)
            words = f"{words} {say(_BY).format(entries=entries, writers=', '.join(found.writers))}"
        return words

    def _acts(self) -> list[QWidget]:
        read = Main(say("I have read it"), "since_read")
        read.setAccessibleName(say("I have read it: my shift begins"))
        read.clicked.connect(self._read)
        note = Button.calling(
            say("Leave a note for the next …"),
            "since_note",
            lambda: self._open_form(NOTE.name, {"for_next": True}),
        )
        return [read, note, Button.calling(say("Print …"), "since_print", self.print)]

    def _board_tiles(self) -> list[QWidget]:
        tiles: list[QWidget] = [
            Button.calling(words, f"since_tile_{number}", pressed)
            for number, (words, pressed) in enumerate(self._tiles, start=1)
        ]
        return [*tiles, Button.calling(say("To the board"), "since_board", lambda: self._go("board"))]

    # What can be done -----------------------------------------------------------------------------

    def _read(self) -> None:
        """Whoever read it begins a shift; then the board."""
        details = {"action": "start"}
        self._slips.record(
            lambda logbook, by: [logbook.record(SHIFT.name, details, by)],
            lambda: self._go("board"),
            self._failed,
        )

    def texts(self) -> list[tuple[str, str]]:
        """All of it as headings and texts, for paper: about whom, as of when, and what it is not."""
        found, picture = self._found, self._present.picture
        if found is None or picture is None:
            return []
        when = f"{times.full_day(found.home.day(found.now))}, {times.clock(found.home, found.now)}"
        first = [person_words(picture), say("As of {when}.").format(when=when), self._first_words(found)]
        told = [
            (part.title, "\n".join([*part.lines, *([part.more_words] if part.more else [])]))
            for part in found.parts
        ]
        title = say("Since {who} was last here").format(who=found.by or say("no name"))
        return [(title, "\n".join(first)), *told, ("", f"{say(_FOOT)}\n{say(CONSTANT)}")]

    def print(self) -> None:
        """On a printer of this computer."""
        from carelog.ui.sheet.printing import TextPages, print_pages

        said = print_pages(self.window(), TextPages(self.texts()), say("carelog, since you were last here"))
        if said:
            self._failed(said)
