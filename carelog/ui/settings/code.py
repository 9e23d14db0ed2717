"""The page of the recovery code: copies that leave the house are encrypted, and how to come back."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from carelog.app.backups import kept_in
from carelog.app.medium import copies_on
from carelog.domain.trouble import Refused, Trouble
from carelog.text import mark, say
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.announce import announce
from carelog.ui.button import Button, ChoiceButton, Main
from carelog.ui.column import ColumnView
from carelog.ui.parts import Parts
from carelog.ui.preferences import Preferences
from carelog.ui.present import Present
from carelog.ui.ringed import Line, Ringed
from carelog.ui.theme import Size

if TYPE_CHECKING:
    from pathlib import Path

    from carelog.seal.keyring import Ring

MOST_OPENED = 3  # copies that a code is tried on
GONE = mark(
    "If you lose this computer and the code, the encrypted copies are gone. No one can open them then, and "
    "no one can make the code again. So keep the code on paper, away from this computer."
)
WAY_BACK = (
    (mark("Recovery code"), ""),
    (
        mark("How to come back"),
        mark(
            "Install carelog on any computer. Choose “Open a record or a copy” and a copy from the stick. "
            "Type in this code. The page shows whose record it is before anything is written."
        ),
    ),
    (mark("If it is lost"), GONE),
)


class CodePage(ColumnView):
    """Makes the code, has it typed back before it counts, tries it on copies, takes another computer's in."""

    def __init__(
        self,
        access: Access,
        present: Present,
        parts: Parts,
        preferences: Preferences,
        copies_changed: Callable[[], None],
        look: "Callable[[Callable[[Path | None], None]], None]",
        go: Callable[[str], None],
    ) -> None:
        """`copies_changed`: copies are encrypted from now on, or no more; `look` looks for the stick."""
        super().__init__()
        self._access = access
        self._present = present
        self._parts = parts
        self._preferences = preferences
        self._copies_changed = copies_changed
        self._look = look
        self._go = go
        self._made = ""  # a new code that wasn't typed back yet
        self._said = ""
        self._typed = ""
        preferences.when_changed.append(self.refresh)

    def opened(self) -> None:
        self._said = ""
        super().opened()

    def key(self) -> object:
        ring, trouble = self._ring()
        has_plain = self._preferences.now.has_plain_copies
        return self._made, self._said, trouble, ring.since if ring else None, has_plain

    def fill(self) -> None:
        self.heading(say("Recovery code"))
        if self._said:
            self.words(self._said, Size.STRONG)
        ring, trouble = self._ring()
        if trouble:
            self.words(trouble, Size.STRONG)
        elif self._made:
            self._fill_made()
        elif ring is None:
            self._fill_off()
        else:
            self._fill_on(ring)
        self.row(Button.calling(say("Back to the copies"), "code_back", self._back))

    # The three states -------------------------------------------------------------------------------

    def _fill_off(self) -> None:
        self.words(
            say("Copies on a stick aren't encrypted. Whoever finds the stick can read all that is in them.")
        )
        self.words(
            say("With a recovery code they are. This computer opens them by itself, others by the code.")
        )
        self.words(say(GONE))
        self.row(Main.calling(say("Make a recovery code"), "code_make", self._make))
        self.heading(say("There is a code already"), Size.NAME)
        self.words(say("Type in the code of your other computer, once."))
        self._line("code_enter", say("The code of your other computer"))
        self.row(Button.calling(say("Take this code in"), "code_take", self._take))

    def _fill_made(self) -> None:
        from carelog.seal.code import grouped

        self.words(say("Write this code down or print it. It isn't kept here, and isn't shown again."))
        self.words(grouped(self._made), Size.HEAD).setObjectName("code_shown")
        self.row(Button.calling(say("Print it with the way back"), "code_print", self._print))
        self.words(say(GONE))
        self.heading(say("Type it back"), Size.NAME)
        self.words(say("It counts once it was typed back from the paper."))
        self._line("code_typed", say("The code, typed back from the paper"))
        self.row(
            Main.calling(say("Switch it on"), "code_on", self._switch_on),
            Button.calling(say("Not now"), "code_not_now", self._not_now),
        )

    def _fill_on(self, ring: "Ring") -> None:
        when = times.near(self._present.home(), ring.since, self._present.now())
        self.words(say("Copies that leave the house are encrypted, since {when}.").format(when=when))
        self.words(say("This computer opens them without the code. Any other one needs it."))
        self.words(say("Copies that were made before lie on the stick as they were. You can delete those."))
        plain = ChoiceButton(say("Leave new copies on the stick open"), "code_plain")
        plain.setChecked(self._preferences.now.has_plain_copies)
        plain.clicked.connect(self._choose_plain)
        self.row(plain)
        if self._preferences.now.has_plain_copies:
            self.words(
                say("New copies on the stick aren't encrypted, as you chose. Whoever finds it can read them.")
            )
        self.heading(say("Is the code on the paper right?"), Size.NAME)
        self.words(say("Plug the stick in and type the code. The page says what it opens."))
        self._line("code_try", say("The code to try"))
        self.row(Button.calling(say("Show what it opens"), "code_show", self._show))
        self.heading(say("A new code"), Size.NAME)
        self.words(
            say("Make one if the paper is lost or somebody saw it. Copies of before still need the old code.")
        )
        self.words(say(GONE))
        self.row(Button.calling(say("Make a new code"), "code_make", self._make))

    def _line(self, name: str, label: str) -> None:
        line = Line(name, label)
        line.setText(self._typed)
        line.setPlaceholderText(label)
        self.widget(Ringed(line))

    def _text(self, name: str) -> str:
        line = self.findChild(Line, name)
        return line.text() if line is not None else ""

    # What is pressed --------------------------------------------------------------------------------

    def _make(self) -> None:
        from carelog.seal.keyring import new_code

        self._made, self._typed = new_code(), ""
        self._say("")

    def _not_now(self) -> None:
        self._made, self._typed = "", ""
        self._say(say("Nothing was changed."))

    def _switch_on(self) -> None:
        typed = self._read("code_typed")
        if typed is None:
            return
        if typed != self._made:
            self._say(say("That is another code. Look at each group again."))
            return
        if self._keep(typed):
            self._made = ""
            self._say(say("It is on. The next copy on the stick is encrypted."))
            self._copies_changed()

    def _take(self) -> None:
        typed = self._read("code_enter")
        if typed is not None and self._keep(typed):
            self._say(say("The code is known here now. This household's copies open on this computer too."))
            self._copies_changed()

    def _keep(self, code: str) -> bool:
        assert self._parts.keyring is not None
        try:
            self._parts.keyring().take(code, self._present.now())
        except Trouble as trouble:
            self._say(trouble.sentence)
            return False
        self._typed = ""
        return True

    def _read(self, name: str) -> str | None:
        from carelog.seal import code as codes

        self._typed = self._text(name)
        try:
            return codes.read(self._typed)
        except Refused as refused:
            self._say(refused.sentence)
            return None

    def _choose_plain(self) -> None:
        self._preferences.change(has_plain_copies=not self._preferences.now.has_plain_copies)
        self._copies_changed()

    def _show(self) -> None:
        code = self._read("code_try")
        if code is not None:
            self._look(lambda root: self._show_on(root, code))

    def _show_on(self, root: "Path | None", code: str) -> None:
        if root is None:
            self._say(say("Plug in the stick with the copies first."))
            return

        def seen() -> str:
            sealed = [each for each in kept_in(copies_on(root)) if each.is_sealed][:MOST_OPENED]
            return " ".join(self._parts.opened_by(each.path, code) for each in sealed)

        none = say("There is no encrypted copy on the stick yet.")
        self._say(say("Opening the newest copies …"))
        self._access.reader.ask(seen, lambda found: self._say(found or none), self._say)

    def _print(self) -> None:
        from carelog.seal.code import grouped
        from carelog.ui.sheet.printing import TextPages, print_pages

        texts = [(say(heading), say(text) if text else grouped(self._made)) for heading, text in WAY_BACK]
        told = print_pages(self.window(), TextPages(texts), say("carelog, the way back"))
        if told:
            self._say(told)

    def _back(self) -> None:
        self._made, self._typed = "", ""
        self._go("copies")

    def _ring(self) -> "tuple[Ring | None, str]":
        if self._parts.keyring is None:
            return None, ""
        try:
            return self._parts.keyring().read(), ""
        except Trouble as trouble:
            return None, trouble.sentence

    def _say(self, sentence: str) -> None:
        self._said = sentence
        announce(self, sentence)
        self._key = object()
        self.refresh()
