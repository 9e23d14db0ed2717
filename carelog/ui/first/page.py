"""The first page of a household without a record, and the short steps after it."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QWidget

from carelog.app.backups import SEALED
from carelog.domain.entry import Details
from carelog.domain.trouble import Trouble
from carelog.kinds.contact import CONTACT
from carelog.kinds.person import PERSON
from carelog.kinds.plan import PLAN
from carelog.kinds.recorder import RECORDER
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.text import mark, say
from carelog.ui.access import Access, Stage
from carelog.ui.button import Button, Main
from carelog.ui.column import ColumnView, row
from carelog.ui.files import ask_to_open
from carelog.ui.first.offers import Offers
from carelog.ui.pages import CONSTANT
from carelog.ui.present import Present
from carelog.ui.ringed import Line, Ringed
from carelog.ui.taking import Taking
from carelog.ui.theme import Size
from carelog.ui.words import Words

STEPS: tuple[tuple[str, str, str], ...] = (
    (RECORDER.name, mark("Who records"), mark("Initials and name of each one who writes here.")),
    (PERSON.name, mark("The person"), mark("Name, birth date, and what matters in an emergency.")),
    (TUBE_CHANGE.name, mark("The tube in place"), mark("Its sizes stand on the flange or on the box.")),
    (PLAN.name, mark("The care plan"), mark("What is due how often, and the limits that the team gave.")),
    (CONTACT.name, mark("Whom to call"), mark("The team, the night, the emergency number.")),
)
TUBE_GIVEN: Details = {"reason": "first_entry"}


class First(ColumnView):
    """Nothing is made before somebody asks for it."""

    def __init__(
        self,
        access: Access,
        present: Present,
        taking: Taking,
        open_form: Callable[[str, Details | None], None],
        go: Callable[[str], None],
    ) -> None:
        super().__init__()
        self._access = access
        self._present = present
        self._taking = taking
        self._found: Path | None = None
        self._sealed: Path | None = None
        self._code, self._holds = "", ""  # what was typed for it; what it holds, once that is known
        self._open_form = open_form
        self._go = go
        self._skipped: set[str] = set()
        self._said = ""
        present.when_changed.append(self.refresh)

    def key(self) -> object:
        picture = self._present.picture
        return (
            self._present.stage,
            self._present.trouble,
            picture.count if picture else 0,
            sorted(self._skipped),
            self._said,
            self._found,
            self._sealed,
            self._holds,
        )

    def fill(self) -> None:
        if self._present.stage is Stage.OPEN:
            self._fill_steps()
        else:
            self._fill_begin()

    # No record yet --------------------------------------------------------------------------------

    def _fill_begin(self) -> None:
        place, path = self._taking.own_place, self._access.path
        is_away = place != path and self._present.stage is Stage.MISSING
        self.heading(say("The record isn't there") if is_away else say("There is no record here yet"))
        self.words(say(CONSTANT), Size.STRONG)
        self.words(say("It never advises a treatment. The person's own plan and the team come first."))
        if self._present.trouble:
            self.words(self._present.trouble, Size.STRONG)
        if is_away:
            words = say("It was chosen to lie here: {file}. Plug that disk in, then press “Try again”.")
            self.words(words.format(file=path))
            self.row(Main.calling(say("Try again"), "open_again", self._access.open))
        if self._said:
            self.words(self._said, Size.STRONG)
        if self._sealed is not None:
            self._fill_sealed(self._sealed)
        if self._found is not None:
            self._fill_found(self._found)
        begin = Main(say("Begin a record"), "begin_record", size=Size.NAME)
        begin.clicked.connect(self._taking.begin)
        look = Button.calling(say("Look round in a made-up record"), "look_round", self._taking.look_round)
        other = Button.calling(say("Open a record or a copy …"), "open_other", self._open_other)
        elsewhere = Button.calling(say("From another computer …"), "take_up_other", self._take_up_other)
        self.row(begin, look, other, elsewhere)
        self.words(say("The record will lie here: {file}").format(file=place), soft=True)

    def _fill_found(self, file: Path) -> None:
        """A record that isn't a copy: whether to go on here or there is asked, never guessed."""
        self.words(say("“{name}” lies in {folder}.").format(name=file.name, folder=file.parent), Size.NAME)
        self.row(
            Main.calling(say("Take it onto this computer"), "take_in", lambda: self._taking.take_in(file)),
            Button.calling(
                say("Go on where it lies, and write there"), "stay_there", lambda: self._taking.stay_at(file)
            ),
        )

    def _fill_sealed(self, file: Path) -> None:
        """An encrypted copy: its code first, then what it holds, and only then it is taken in."""
        if self._holds:
            self.words(self._holds, Size.NAME)
            take = lambda: self._taking.take_in(file, self._code)  # noqa: E731
            self.row(
                Main.calling(say("Take it onto this computer"), "take_sealed", take),
                Button.calling(say("No, leave it"), "leave_sealed", self._leave_sealed),
            )
            return
        words = say(
            "“{name}” is encrypted. Type the recovery code from the paper: six groups of five letters."
        )
        self.words(words.format(name=file.name), Size.NAME)
        line = Line("sealed_code", say("Recovery code"))
        line.setText(self._code)
        self.widget(Ringed(line))
        self.row(
            Main.calling(say("Show what it holds"), "open_sealed", self._open_sealed),
            Button.calling(say("No, leave it"), "leave_sealed", self._leave_sealed),
        )

    def _leave_sealed(self) -> None:
        self._sealed, self._code, self._holds = None, "", ""
        self._tell("")

    def _open_sealed(self) -> None:
        from carelog.seal import code as codes

        line = self.findChild(Line, "sealed_code")
        self._code = line.text() if line is not None else ""
        try:
            self._code = codes.read(self._code)
        except Trouble as trouble:
            self._tell(trouble.sentence)
            return
        self._look_into()

    def _look_into(self) -> None:
        if self._sealed is not None:
            self._tell(say("Opening the copy …"))
            self._taking.look_into(self._sealed, self._code, self._on_seen, self._tell)

    def _on_seen(self, holds: str) -> None:
        self._holds = holds
        self._tell("")
        if not holds and self._sealed is not None:  # not encrypted, whatever its name says
            self._taking.take_in(self._sealed)

    def _take_sealed(self, file: Path) -> bool:
        """Whether it is an encrypted file; if so, its code is asked for, or what it holds is told."""
        try:
            needs_code = self._taking.needs_code(file)
        except Trouble as trouble:
            self._tell(trouble.sentence)
            return True
        if not needs_code and not file.name.endswith(SEALED):
            return False
        self._sealed, self._code, self._holds, self._found = file, "", "", None
        if needs_code:
            self._tell("")
        else:
            self._look_into()
        return True

    def _tell(self, sentence: str) -> None:
        self._said = sentence
        self._key = object()
        self.refresh()

    def _open_other(self) -> None:
        path = ask_to_open(self, say("Open a record or a copy"), "*.carelog *.sealed")
        if path is None or self._take_sealed(path):
            return
        if self._taking.may_stay(path):
            self._found = path
            self.refresh()
        else:
            self._taking.take_in(path)

    def _take_up_other(self) -> None:
        path = ask_to_open(self, say("From another computer"), "*.jsonl *.zip *.carelog *.sealed")
        if path is not None and not self._take_sealed(path):
            self._taking.take_in(path)

    # The steps ------------------------------------------------------------------------------------

    def _fill_steps(self) -> None:
        picture = self._present.picture
        assert picture is not None
        self.heading(say("A few short steps"))
        self.words(say("Each can be skipped now and done later."))
        for kind, title, text in STEPS:
            is_done = kind in picture.latest
            self.words(say(title), Size.NAME)
            self.words(say("Recorded.") if is_done else say(text))
            if kind == PLAN.name and not is_done:
                self._fill_offers()
            if kind in self._skipped and not is_done:
                self.words(say("Skipped for now."), soft=True)
            self.widget(self._buttons(kind, say(title), is_done=is_done))
        self.words(say("On paper"), Size.NAME)
        self.words(
            say("Print the hand-over, blank days, the card and the emergency plan. Keep them in a folder.")
        )
        ready = Main(say("To the board"), "first_ready", size=Size.NAME)
        ready.clicked.connect(lambda: self._go("board"))
        folder = Button.calling(say("To the paper page"), "first_folder", lambda: self._go("sheet"))
        self.row(folder)
        self.row(ready)

    def _buttons(self, kind: str, title: str, *, is_done: bool) -> QWidget:
        words = say("Fill in")
        if is_done:
            words = say("Add another") if kind in (RECORDER.name, CONTACT.name) else say("Fill in again")
        fill = Button(words, f"step_{kind}")
        fill.setAccessibleName(f"{title}: {words}")
        fill.clicked.connect(lambda: self._open_form(kind, self._given(kind)))
        if is_done or kind in self._skipped:
            return row(fill)
        skip = Button(say("Skip"), f"skip_{kind}")
        skip.setAccessibleName(f"{title}: {say('Skip')}")
        skip.clicked.connect(lambda: self._skip(kind))
        return row(fill, skip)

    def _given(self, kind: str) -> Details | None:
        if kind == TUBE_CHANGE.name:
            return TUBE_GIVEN
        if kind == PERSON.name:
            return self._person_given()
        offers = self._body.findChild(Offers)
        return offers.plan() if kind == PLAN.name and offers is not None else None

    def _person_given(self) -> Details | None:
        """The computer's own zone to begin with: days and set times are those of the person's home."""
        picture, zone = self._present.picture, self._present.zone()
        is_given = picture is not None and picture.person["home_zone"] is not None
        return {"home_zone": zone} if zone and not is_given else None

    def _skip(self, kind: str) -> None:
        self._skipped.add(kind)
        self.refresh()

    def _fill_offers(self) -> None:
        picture = self._present.picture
        today = self._present.home().day(self._present.now())
        is_adult = picture.person.is_adult(today) if picture else None
        if not is_adult:
            words = say("No values are offered under 18 or without a birth date: no limit set.")
            self.widget(Words(words))
            return
        self.widget(Offers())
