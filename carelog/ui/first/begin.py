"""The page of a household without a record: how large the text is, then a record, new or brought along."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QLocale

from carelog import resources
from carelog.text import languages, say
from carelog.ui.access import Access, Stage
from carelog.ui.button import Button, ChoiceButton, Main
from carelog.ui.column import ColumnView
from carelog.ui.files import ask_to_open
from carelog.ui.first.asked import PRESSED
from carelog.ui.forms.picks import Picks
from carelog.ui.pages import CONSTANT
from carelog.ui.preferences import Preferences
from carelog.ui.present import Present
from carelog.ui.rowbutton import RowButton
from carelog.ui.sealed import Sealed
from carelog.ui.taking import Taking
from carelog.ui.theme import KEPT, SIZES, Size, font


@dataclass(frozen=True, slots=True)
class Way:
    """One way to a record."""

    name: str
    glyph: str
    words: str
    told: str
    take: Callable[[], object]


class Begin(ColumnView):
    """Nothing is made before somebody asks for it."""

    def __init__(self, access: Access, present: Present, taking: Taking, preferences: Preferences) -> None:
        super().__init__()
        self._access = access
        self._present = present
        self._taking = taking
        self._preferences = preferences
        self._found: Path | None = None
        self._sealed = Sealed(taking, self._tell)
        self._said = ""
        self._is_read = False
        present.when_changed.append(self.refresh)
        preferences.when_changed.append(self.refresh)

    def key(self) -> object:
        return (
            self._present.stage,
            self._present.trouble,
            self._said,
            self._found,
            self._sealed.key(),
            self._is_read,
            self._preferences.text_percent,
        )

    def fill(self) -> None:
        if self._is_read or self._present.trouble or self._is_away():
            self._fill_begin()
        else:
            self._fill_size()

    def _is_away(self) -> bool:
        return self._taking.own_place != self._access.path and self._present.stage is Stage.MISSING

    # How large --------------------------------------------------------------------------------------

    def _fill_size(self) -> None:
        """Before anything is asked that has to be read."""
        self.heading(say("Can you read this well?"))
        self.words(say(CONSTANT), Size.STRONG)
        self.words(say("Press the size that is easy for tired eyes. It can be changed at any time."))
        self.row(*(self._size(percent) for percent in SIZES))
        self._fill_language()
        self.row(Main.calling(say("Go on"), "welcome_on", self._go_on))

    def _fill_language(self) -> None:
        """Each by its own name; without a translation there is nothing to choose."""
        found = languages(resources.folder() / "translations")
        if not found:
            return
        options = [(code, QLocale(code).nativeLanguageName() or code) for code in ("en", *found)]
        picks = Picks("language", say("Language"), options, is_needed=True)
        picks.put(self._preferences.now.language)
        picks.when_changed.append(lambda: self._speak(picks.read()))
        self.widget(picks)
        self.words(say("The language changes at the next start."), soft=True)

    def _speak(self, language: object) -> None:
        self._preferences.change(language=language if isinstance(language, str) else "")

    def _size(self, percent: int) -> ChoiceButton:
        """A button in the letters that it is about."""
        words = f"{percent}\N{NO-BREAK SPACE}%"
        button = ChoiceButton(words, f"size_{percent}", is_one_of=True)
        button.setAccessibleName(f"{say('Text size')} {words}")
        button.setProperty(KEPT, None)
        button.setFont(font(Size.TEXT, percent))
        button.setMinimumHeight(PRESSED)
        button.show_on(percent == self._preferences.text_percent)
        button.switched.connect(lambda _is_on: self._preferences.change(text_percent=percent))
        return button

    def _go_on(self) -> None:
        self._is_read = True
        self.refresh()

    # No record yet --------------------------------------------------------------------------------

    def _fill_begin(self) -> None:
        place, path = self._taking.own_place, self._access.path
        is_away = self._is_away()
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
        self._sealed.fill(self)
        if self._found is not None:
            self._fill_found(self._found)
        self.list(map(self._way, self._ways()))
        self.words(say("The record will lie here: {file}").format(file=place), soft=True)

    def _ways(self) -> tuple[Way, ...]:
        return (
            Way("begin_record", "person", say("Begin a record"), say("a new one"), self._taking.begin),
            Way(
                "take_up_other",
                "copies",
                say("From another computer …"),
                say("take up the record that is written there"),
                self._take_up_other,
            ),
            Way(
                "open_other",
                "timeline",
                say("Open a record or a copy …"),
                say("from a stick, a disk or a folder"),
                self._open_other,
            ),
            Way(
                "look_round",
                "help",
                say("Look round in a made-up record"),
                say("press what you like: nothing there is real"),
                self._taking.look_round,
            ),
        )

    def _way(self, way: Way) -> RowButton:
        button = RowButton(way.words, way.name, way.glyph, way.told)
        button.clicked.connect(lambda: way.take())
        return button

    def _fill_found(self, file: Path) -> None:
        """A record that isn't a copy: whether to go on here or there is asked, never guessed."""
        self.words(say("“{name}” lies in {folder}.").format(name=file.name, folder=file.parent), Size.NAME)
        self.row(
            Main.calling(say("Take it onto this computer"), "take_in", lambda: self._taking.take_in(file)),
            Button.calling(
                say("Go on where it lies, and write there"), "stay_there", lambda: self._taking.stay_at(file)
            ),
        )

    def _is_sealed(self, file: Path) -> bool:
        if not self._sealed.take(file):
            return False
        self._found = None
        return True

    def _tell(self, sentence: str) -> None:
        self._said = sentence
        self._key = object()
        self.refresh()

    def _open_other(self) -> None:
        path = ask_to_open(self, say("Open a record or a copy"), "*.carelog *.sealed")
        if path is None or self._is_sealed(path):
            return
        if self._taking.may_stay(path):
            self._found = path
            self.refresh()
        else:
            self._taking.take_in(path)

    def _take_up_other(self) -> None:
        path = ask_to_open(self, say("From another computer"), "*.jsonl *.zip *.carelog *.sealed")
        if path is not None and not self._is_sealed(path):
            self._taking.take_in(path)
