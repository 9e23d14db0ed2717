"""Copies, import and export on one page."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from carelog.app.backups import Kept
from carelog.app.medium import choose
from carelog.domain.moment import Home
from carelog.domain.trouble import Trouble
from carelog.seal.magic import Opener
from carelog.text import say
from carelog.ui import times
from carelog.ui.announce import announce
from carelog.ui.button import Button, Main
from carelog.ui.column import ColumnView
from carelog.ui.copies import Copies
from carelog.ui.files import ask_to_open, ask_to_save
from carelog.ui.media import AT_HAND
from carelog.ui.preferences import Preferences
from carelog.ui.present import Present
from carelog.ui.ringed import Line, Ringed
from carelog.ui.settings.transfer import Transfer
from carelog.ui.theme import Size

if TYPE_CHECKING:
    from carelog.app.ports import Record


SHOWN = 3  # newest copies that are offered to be tried, beside the oldest


class CopiesPage(ColumnView):
    """What lies where, and how to take the record elsewhere."""

    def __init__(
        self,
        present: Present,
        copies: Copies,
        preferences: Preferences,
        transfer: Transfer,
        take_over: Callable[[Path, str], None],
        go: Callable[[str], None],
        meet: "Callable[[Record, Path, bool], Sequence[str]]",
    ) -> None:
        """`take_over` takes up another computer's record in place of one that holds no care yet."""
        super().__init__()
        self._present = present
        self._copies = copies
        self._preferences = preferences
        self._said = self._typed = ""
        self._take_over = take_over
        self._go = go
        self._meet = meet
        self._transfer = transfer
        transfer.told = self._say
        copies.when_changed.append(self.refresh)
        present.when_changed.append(self.refresh)

    def opened(self) -> None:
        self._copies.look()
        self._copies.media.look(lambda _root: self.refresh())
        self._copies.media.wait(AT_HAND)
        self.refresh()

    def key(self) -> object:
        newest, drilled = self._copies.newest, self._preferences.now.drilled
        importing = self._transfer.is_importing
        return (
            self._present.stage,
            self._said,
            importing,
            self._transfer.other,
            self._transfer.locked,
            self._transfer.has_rivals,
            self._copies.said,
            newest,
            self._copies.words(),
            self._copies.failed_words(),
            self._copies.sealing_words(),
            self._copies.media.words(),
            tuple(self._copies.media.roots),
            self._copies.media.has_looked,
            drilled,
            self._preferences.now.oldest_tried,
        )

    def fill(self) -> None:
        self.heading(say("Copies, import and export"))
        for words in (self._said, self._copies.said, self._copies.failed_words()):
            if words:
                self.words(words, Size.STRONG)
        if self._transfer.has_rivals:
            words = say("Look at both versions")
            self.row(Button.calling(words, "copies_sides", lambda: self._go("sides")))
        other = self._transfer.other
        if other is not None:
            self.words(say("This record holds no care yet. It can be set aside, and is kept."))
            words = say("Set it aside and take up “{name}”").format(name=other[0].name)
            self.row(Button.calling(words, "take_over", lambda: self._take_over(*other)))
        locked = self._transfer.locked
        if locked is not None and not self._transfer.is_importing:
            self._fill_locked(*locked)
        self._fill_last()
        make = Main(say("Make a copy now"), "copy_now")
        make.clicked.connect(self._copies.make)
        self.row(make)
        self._fill_media()
        self._fill_tries(self._present.home())
        self.heading(say("Exchange file"), Size.NAME)
        if self._transfer.is_importing:
            self.row(Button.calling(say("Stop the import"), "import_stop", self._transfer.stop))
            return
        self.row(
            Button.calling(say("Import a file …"), "import_file", self._import),
            Button.calling(say("Export everything …"), "export_file", self._export),
        )

    def _fill_last(self) -> None:
        """What the last copies hold, and how the last trial of one went."""
        newest = self._copies.newest
        home, now = self._present.home(), self._present.now()
        if newest is not None:
            when = times.near(home, self._copies.newest_up_to or newest.made_at, now)
            words = say("The last copy on this computer holds all up to {when}: {file}")
            self.words(words.format(when=when, file=newest.path))
        else:
            self.words(say("No copy on this computer yet."))
        self.words(self._copies.words())
        drilled = self._preferences.now.drilled
        for words in (drilled, self._preferences.now.oldest_tried):
            if words:
                self.words(words)

    def _fill_locked(self, file: Path, key: Opener) -> None:
        words = say("The passphrase") if key is Opener.PASSPHRASE else say("Recovery code")
        line = Line("import_key", words)
        line.setPlaceholderText(words)
        line.setText(self._typed)
        line.textChanged.connect(self._keep)
        self.widget(Ringed(line))

        def take_in() -> None:
            self._transfer.take_in(file, line.text())

        line.returnPressed.connect(take_in)
        self.row(Button.calling(say("Open it and take it in"), "import_open", take_in))

    def _keep(self, typed: str) -> None:
        self._typed = typed

    def _fill_tries(self, home: Home) -> None:
        """A few copies, newest first and the oldest last, each to be tried without touching the record."""
        here, outside = self._copies.here(), self._copies.outside()
        if not here and not outside:
            return
        self.heading(say("What a copy would bring back"), Size.NAME)
        self.words(say("This changes nothing. The copy is tried out in a closed folder and thrown away."))
        for name, words, kept in (
            ("here", say("Try the copy of {time}, on this computer"), here),
            ("outside", say("Try the copy of {time}, on the stick"), outside),
        ):
            shown = [*kept[:SHOWN], *kept[SHOWN:][-1:]]
            buttons = [
                Button.calling(
                    words.format(time=f"{home.local(each.made_at):%Y-%m-%d %H:%M}"),
                    f"try_{name}_{number}",
                    self._trier(each),
                )
                for number, each in enumerate(shown)
            ]
            if buttons:
                self.row(*buttons)

    def _trier(self, copy: Kept) -> Callable[[], None]:
        return lambda: self._copies.try_back(copy)

    def _fill_media(self) -> None:
        self.heading(say("A second medium"), Size.NAME)
        words = say("A stick or disk that copies go to whenever it is plugged in.")
        self.words(f"{words} {self._copies.sealing_words()}")
        self.row(Button.calling(say("The recovery code …"), "go_code", lambda: self._go("code")))
        media = self._copies.media
        if media.words():
            self.words(media.words(), Size.STRONG)
        elif not media.has_looked:
            self.words(say("Looking for sticks and disks …"), soft=True)
        elif not media.roots:
            self.words(say("No stick or disk is plugged in."), soft=True)
        for number, root in enumerate(media.roots):
            words = say("Use {folder}").format(folder=root)
            self.row(Button.calling(words, f"medium_{number}", self._chooser(root)))

        chosen = media.chosen
        if chosen is not None:
            self.words(
                say("Two computers? Do this on one, carry the stick to the other, do it there as well.")
            )
            self.row(
                Main.calling(say("Give and take with the stick"), "meet", lambda: self._give_and_take(chosen))
            )

    def _give_and_take(self, root: Path) -> None:
        try:
            is_sealed = self._copies.is_sealing()
        except Trouble as trouble:
            self._say(trouble.sentence)
            return
        self._transfer.meet(root, self._meet, is_sealed=is_sealed)

    def _chooser(self, root: Path) -> Callable[[], None]:
        return lambda: self._choose(root)

    def _choose(self, root: Path) -> None:
        try:
            self._preferences.change(second_medium=choose(root), outside_up_to=0, outside="")
        except Trouble as trouble:
            self._say(trouble.sentence)
            return
        if self._copies.is_on_own_disk(root):
            words = say("“{folder}” is on this computer's own disk. What happens to the one happens to both.")
            self._say(words.format(folder=root))
        self._copies.make()

    def _import(self) -> None:
        path = ask_to_open(self, say("Import a file"), "*.jsonl *.zip *.sealed")
        if path is not None:
            self._transfer.take_in(path)

    def _export(self) -> None:
        path = ask_to_save(self, say("Export everything"), "carelog.jsonl", "*.jsonl")
        if path is not None:
            self._transfer.give_out(path)

    def _say(self, sentence: str) -> None:
        self._said = sentence
        announce(self, sentence)
        self.refresh()
