"""Give somebody the record: for whom, which days, where to; what lies in the file is said before."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from shiboken6 import isValid

from carelog.domain.giving import GiveRequest
from carelog.domain.moment import DAY_24_H
from carelog.domain.trouble import Refused
from carelog.text import mark, say, say_n
from carelog.ui import files
from carelog.ui.access import Access
from carelog.ui.announce import announce
from carelog.ui.button import Button, ChoiceButton, Main
from carelog.ui.column import ColumnView
from carelog.ui.forms.picks import Option, Picks
from carelog.ui.give.giver import Giver
from carelog.ui.preferences import Preferences
from carelog.ui.present import Present
from carelog.ui.ringed import Line, Ringed
from carelog.ui.theme import Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.ui.parts import Give


@dataclass(frozen=True, slots=True)
class Reader:
    """Somebody who is given the record: the form that serves them, and what is in it."""

    form: str
    words: str
    holds: str
    suffix: str
    is_taken_in: bool = False
    """Whether carelog reads it: then it can be locked, and opened there again."""
    days: int = 7
    """How many are given where nobody chose; 0: all of it."""


READERS = (
    Reader("html", mark("somebody who reads it"), mark("One page for any browser, day by day."), ".html"),
    Reader("fhir", mark("a hospital's computer"), mark("A FHIR document, with the sheet."), ".json"),
    Reader("xlsx", mark("a spreadsheet"), mark("A table for each kind of entry, and charts."), ".xlsx"),
    Reader("csv", mark("other programs"), mark("A folder of plain tables, and what they mean."), ""),
    Reader(
        "exchange",
        mark("my other computer"),
        mark("The entries as they are, to be added there."),
        ".jsonl",
        is_taken_in=True,
        days=0,
    ),
    Reader(
        "zip",
        mark("somebody who needs all of it"),
        mark("The entries, the page, and the newest four weeks on paper. It can be taken in again."),
        ".zip",
        is_taken_in=True,
        days=0,
    ),
)
SPANS: tuple[Option, ...] = ((7, mark("last 7 days")), (28, mark("last 28 days")), (0, mark("all of it")))
_OPEN = mark("The file isn't locked. Whoever finds it can read it.")
_LOCKED = mark(
    "Only carelog opens the file, and only with these words. Tell them by phone. If they are lost, no one "
    "can open it."
)
SEALED = ".sealed"


class GivePage(ColumnView):
    """Three choices, what lies in the file, and one button."""

    def __init__(self, access: Access, present: Present, give: "Give", preferences: Preferences) -> None:
        super().__init__()
        self._preferences = preferences
        self._access = access
        self._present = present
        self._reader = READERS[0]
        self._chosen_days: int | None = None
        self._is_locked = False
        self._passphrase = ""
        self._told = ""
        self._telling: Words | None = None
        self._is_giving = False
        self._giver = Giver(access, give, self._on_part)

    def key(self) -> object:
        told = "" if self._is_giving else self._told
        return self._reader, self._days(), told, self._is_giving, self._access.is_open(), self.is_locked()

    def fill(self) -> None:
        self.heading(say("Give somebody the record"))
        if not self._access.is_open():
            self.words(self._access.unread(), soft=True)
            return
        self._pick(say("For whom?"), "give_to", [(r.form, say(r.words)) for r in READERS], self._reader.form)
        self._pick(
            say("Which days?"), "give_days", [(days, say(words)) for days, words in SPANS], self._days()
        )
        self.part()
        self.words(say(self._reader.holds), Size.STRONG)
        self._fill_lock()
        save = Main(say("Write the file …"), "give_save")
        save.clicked.connect(self._ask_where)
        stop = Button.calling(say("Stop"), "give_stop", self._stop)
        self.row(*((stop,) if self._is_giving else (save,)))
        self._telling = self.words(self._told, Size.STRONG) if self._told else None

    def _days(self) -> int:
        """How many days are given, up to today; 0: all of it."""
        return self._reader.days if self._chosen_days is None else self._chosen_days

    def is_locked(self) -> bool:
        """Whether the file is to be opened by a passphrase alone."""
        return self._is_locked and self._reader.is_taken_in

    def _fill_lock(self) -> None:
        if self._reader.is_taken_in:
            lock = ChoiceButton(say("Lock it with a passphrase"), "give_lock")
            lock.show_on(self._is_locked)
            lock.switched.connect(self._lock)
            self.row(lock)
        self.words(say(_LOCKED if self.is_locked() else _OPEN))
        if self.is_locked():
            line = Line("give_passphrase", say("The passphrase: some words, at least 12 letters"))
            line.setPlaceholderText(line.accessibleName())
            line.setText(self._passphrase)
            line.textChanged.connect(self._keep)
            self.widget(Ringed(line))

    def _lock(self, is_on: bool) -> None:
        self._is_locked, self._told = is_on, ""
        self.refresh()

    def _keep(self, typed: str) -> None:
        self._passphrase = typed

    def _pick(self, words: str, name: str, options: list[Option], chosen: object) -> None:
        self.heading(words, Size.NAME)
        picks = Picks(name, words, options, is_needed=True)
        picks.put(chosen)
        picks.when_changed.append(lambda: self._choose(name, picks.read()))
        self.widget(picks)

    def _choose(self, name: str, value: object) -> None:
        self._told = ""
        if name == "give_days":
            self._chosen_days = value if isinstance(value, int) else None
        else:
            self._reader = next((each for each in READERS if each.form == value), READERS[0])
        self.refresh()

    def request(self) -> GiveRequest:
        """What is chosen; days end with this moment."""
        nameless, words = self._preferences.now.hides_name, self._passphrase if self.is_locked() else ""
        if not self._days():
            return GiveRequest(self._reader.form, nameless=nameless, passphrase=words)
        home, now = self._present.home(), self._present.now()
        since = home.start_of(home.day(now - (self._days() - 1) * DAY_24_H))
        return GiveRequest(self._reader.form, since, now + 1, nameless=nameless, passphrase=words)

    def _ask_where(self) -> None:
        if self.is_locked():
            from carelog.seal import passphrase

            try:
                passphrase.read(self._passphrase)
            except Refused as refused:
                self._tell(refused.sentence)
                return
        day = self._present.home().day(self._present.now()).isoformat()
        suffix = self._reader.suffix + (SEALED if self.is_locked() else "")
        suggested = f"carelog-{day}{suffix}"  # never whose it is: a name is read by anybody
        kinds = f"*{suffix}" if suffix else ""
        file = files.ask_to_save(self, say("Write the file"), suggested, kinds)
        if file is not None:
            self.give_to(file)

    def give_to(self, file: Path) -> None:
        """Write what is chosen; what was being written is stopped."""
        request, now = self.request(), self._present.now()
        self._show(say("Writing the file …"), is_giving=True)

        def done(count: int) -> None:
            words = say_n("One entry written to {file}.", "{count} entries written to {file}.", count)
            self._tell(words.format(count=count, file=file))

        self._giver.give(request, file, now, done, self._tell)

    def _on_part(self, share: int) -> None:
        """The words alone change: a button that was replaced under a hand would miss its press."""
        self._say(say("Writing the file, {share} …").format(share=f"{share}\N{NO-BREAK SPACE}%"))

    def _stop(self) -> None:
        """What is being written ends with its next part, and says so itself."""
        self._giver.stop()
        self._say(say("Stopping …"))

    def _say(self, sentence: str) -> None:
        self._told = sentence
        if self._telling is not None and isValid(self._telling):
            self._telling.setText(self._told)

    def _tell(self, sentence: str) -> None:
        self._show(sentence, is_giving=False)
        announce(self, sentence)

    def _show(self, sentence: str, *, is_giving: bool) -> None:
        """Say how it stands, where it is seen: below the last choice, on a small screen below its edge."""
        self._is_giving, self._told = is_giving, sentence
        self.refresh()
        if self._telling is not None and isValid(self._telling) and self._scrolled is not None:
            self._body.adjustSize()
            self._scrolled.ensureWidgetVisible(self._telling)
