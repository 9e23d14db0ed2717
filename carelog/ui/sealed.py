"""An encrypted file that somebody chose: what opens it, then what it holds, and only then it is taken in."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from carelog.app.backups import SEALED
from carelog.domain.trouble import Trouble
from carelog.seal.magic import Opener
from carelog.text import mark, say
from carelog.ui.button import Button, Main
from carelog.ui.newest import Newest
from carelog.ui.ringed import Line, Ringed
from carelog.ui.theme import Size

if TYPE_CHECKING:
    from carelog.ui.column import ColumnView
    from carelog.ui.taking import Taking

ASKED = {
    Opener.CODE: mark(
        "“{name}” is encrypted. Type the recovery code from the paper: six groups of five letters."
    ),
    Opener.PASSPHRASE: mark("“{name}” is encrypted. Type in the passphrase. Whoever sent it knows it."),
}
LOST = (
    mark("No one can open this copy without its code. No one can make the same code again."),
    mark("Does carelog still work on another computer of the household? Make a new code and a copy there."),
    mark("Is there a copy that isn't encrypted? Did somebody get a file from you? Open that."),
    mark("Else begin a new record. What stands on printed sheets can be typed in there, day by day."),
    mark("Leave the copy where it is. The paper with the code may turn up."),
)


class Sealed:
    """The part of a page that is about such a file; empty without one."""

    def __init__(self, taking: "Taking", tell: Callable[[str], None]) -> None:
        """`tell` shows the page anew, with a sentence above."""
        self._taking = taking
        self._tell = tell
        self._file: Path | None = None
        self._asked: Opener | None = None
        self._typed = ""
        self._holds, self._opened_by = "", ""  # what it holds, once that is known, and what opened it then
        self._is_lost = False
        self._newest = Newest()

    def key(self) -> object:
        """What the part shows."""
        return self._file, self._asked, self._holds, self._is_lost

    def take(self, file: Path) -> bool:
        """Whether it is an encrypted file; if so, what opens it is asked for, or what it holds is told."""
        try:
            asked = self._taking.asks_for(file)
        except Trouble as trouble:
            self._tell(trouble.sentence)
            return True
        if asked is None and not file.name.endswith(SEALED):
            return False
        self._show(file, asked)
        if asked is None:
            self._look_into()
        else:
            self._tell("")
        return True

    def fill(self, page: "ColumnView") -> None:
        """Put it on a page."""
        file, leave = self._file, Button.calling(say("No, leave it"), "leave_sealed", self._leave)
        if file is None:
            return
        if self._holds:
            page.words(self._holds, Size.NAME)
            take = partial(self._taking.take_in, file, self._opened_by)
            page.row(Main.calling(say("Take it onto this computer"), "take_sealed", take), leave)
        elif self._asked is not None:
            page.words(say(ASKED[self._asked]).format(name=file.name), Size.NAME)
            self._fill_asked(page, self._asked, leave)

    def _fill_asked(self, page: "ColumnView", asked: Opener, leave: Button) -> None:
        line = Line("sealed_key", say("Recovery code") if asked is Opener.CODE else say("The passphrase"))
        line.setText(self._typed)
        line.textChanged.connect(self._keep)
        line.returnPressed.connect(self._open)
        page.widget(Ringed(line))
        page.row(Main.calling(say("Show what it holds"), "open_sealed", self._open), leave)
        if self._is_lost:
            page.heading(say("Without the code"), Size.NAME)
            for words in LOST:
                page.words(say(words))
        elif asked is Opener.CODE:
            page.row(Button.calling(say("The code is lost"), "code_lost", self._lose))

    def _show(self, file: Path | None, asked: Opener | None = None) -> None:
        self._newest.forget()  # what was asked about another file isn't told of this one
        self._file, self._asked, self._typed, self._is_lost = file, asked, "", False
        self._holds, self._opened_by = "", ""

    def _keep(self, typed: str) -> None:
        self._typed = typed

    def _lose(self) -> None:
        self._is_lost = True
        self._tell("")

    def _leave(self) -> None:
        self._show(None)
        self._tell("")

    def _open(self) -> None:
        from carelog.seal import code as codes

        try:
            if self._asked is Opener.CODE:
                self._typed = codes.read(self._typed)
        except Trouble as trouble:
            self._tell(trouble.sentence)
            return
        self._look_into()

    def _look_into(self) -> None:
        file, typed, asking = self._file, self._typed, self._newest.ask()
        if file is None:
            return

        def seen(holds: str) -> None:
            self._holds, self._opened_by = holds, typed
            self._tell("")
            if not holds:  # not encrypted, whatever its name says
                self._taking.take_in(file)

        self._tell(say("Opening the copy …"))
        self._taking.look_into(file, typed, asking.only(seen), asking.only(self._tell))
