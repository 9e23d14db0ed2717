"""The settings' page."""

from collections.abc import Callable

from carelog.app.disk import is_encrypted
from carelog.app.settings import AS_COMPUTER, BY_ITSELF, CONTRAST_DARK, CONTRAST_LIGHT, DAY, NIGHT
from carelog.app.settings import PALETTES as PALETTE_NAMES
from carelog.kinds.contact import CONTACT
from carelog.kinds.person import PERSON
from carelog.kinds.recorder import RECORDER
from carelog.text import mark, say
from carelog.ui.access import Access
from carelog.ui.button import Button
from carelog.ui.column import ColumnView
from carelog.ui.forms.picks import YES_NO, Option, Picks
from carelog.ui.preferences import Preferences
from carelog.ui.reading import ReadingLock
from carelog.ui.settings.reading import ReadingChoice
from carelog.ui.settings.switches import DwellChoice, ScanChoice, scan_choices
from carelog.ui.settings.tiles import TileChoice
from carelog.ui.theme import SIZES, Size

PALETTES: tuple[Option, ...] = (
    (BY_ITSELF or "by_itself", mark("by itself, night in the quiet hours")),
    (DAY, mark("day")),
    (NIGHT, mark("night")),
    (CONTRAST_LIGHT, mark("high contrast, light")),
    (CONTRAST_DARK, mark("high contrast, dark")),
)
TEXT_SIZES: tuple[Option, ...] = (
    (AS_COMPUTER, mark("as on this computer")),
    *((size, f"{size}\N{NO-BREAK SPACE}%") for size in SIZES),
)


class SettingsPage(ColumnView):
    """What is chosen here belongs to this user on this computer, not to the record."""

    def __init__(
        self,
        access: Access,
        preferences: Preferences,
        open_form: Callable[[str], None],
        go: Callable[[str], None],
        reading: ReadingLock,
    ) -> None:
        super().__init__()
        self._access = access
        self._preferences = preferences
        self._open_form = open_form
        self._go = go
        self._reading = reading
        preferences.when_changed.append(self.refresh)

    def key(self) -> object:
        now = self._preferences.now
        chosen = (
            now.palette,
            now.text_percent,
            now.has_sound,
            now.has_tile_keys,
            now.hides_name,
            now.reading_code,
            scan_choices(now),
            now.logs_phrases,
            now.has_voice,
        )
        return self._access.path, self._preferences.trouble, chosen

    def fill(self) -> None:
        self.heading(say("Settings"))
        if self._preferences.trouble:
            self.words(self._preferences.trouble, Size.STRONG)
        self._fill_choices()
        self.heading(say("Who and whom"), Size.NAME)
        self.row(
            *(
                Button.calling(words, f"settings_{name}", self._opener(name))
                for words, name in (
                    (say("The person"), PERSON.name),
                    (say("Add a contact"), CONTACT.name),
                    (say("Add somebody who records"), RECORDER.name),
                )
            )
        )
        self.row(Button.calling(say("The record's basics"), "settings_basics", lambda: self._go("basics")))
        self.heading(say("The record and its copies"), Size.NAME)
        self.words(say("This record: {file}").format(file=self._access.path))
        self.words(disk_words(is_encrypted(self._access.path.parent)), soft=True)
        self.row(
            Button.calling(say("Copies, import and export"), "settings_copies", lambda: self._go("copies"))
        )
        self.heading(say("One switch or two"), Size.NAME)
        self.widget(ScanChoice(self._preferences))
        self.heading(say("A pointer that rests"), Size.NAME)
        self.widget(DwellChoice(self._preferences))
        self.heading(say("A lock for reading"), Size.NAME)
        self.widget(ReadingChoice(self._preferences, self._reading))
        self.heading(say("Tiles of the board"), Size.NAME)
        self.widget(TileChoice(self._preferences))

    def _fill_choices(self) -> None:
        now = self._preferences.now
        self._pick(say("Day or night"), "palette", PALETTES, now.palette or "by_itself", self._set_palette)
        self._pick(say("Text size"), "text_percent", TEXT_SIZES, now.text_percent, self._set_size)
        self._pick(say("Sound with a reminder"), "has_sound", YES_NO, now.has_sound, self._set_sound)
        self._pick(
            say("Keys 1 to 9, 0, - and = press the tiles"),
            "has_tile_keys",
            YES_NO,
            now.has_tile_keys,
            self._set_tile_keys,
        )
        self._pick(
            say("Leave the person's name out of the titles of windows and PDFs"),
            "hides_name",
            YES_NO,
            now.hides_name,
            self._set_hides_name,
        )
        self._fill_cards()

    def _fill_cards(self) -> None:
        """What the page of cards does beside showing them."""
        from carelog.app.programs import NO_VOICE
        from carelog.ui.cards.voice import is_here

        now, change = self._preferences.now, self._preferences.change
        words = say("Write down the cards that are shown")
        self._pick(
            words, "logs_phrases", YES_NO, now.logs_phrases, lambda value: change(logs_phrases=value is True)
        )
        words = say("Read cards aloud with the voice of this computer")
        self._pick(words, "has_voice", YES_NO, now.has_voice, lambda value: change(has_voice=value is True))
        if not is_here():
            self.words(say(NO_VOICE), soft=True)

    def _opener(self, kind: str) -> Callable[[], None]:
        return lambda: self._open_form(kind)

    def _pick(
        self,
        words: str,
        name: str,
        options: tuple[Option, ...],
        chosen: object,
        taken: Callable[[object], None],
    ) -> None:
        self.words(words, Size.STRONG)
        picks = Picks(name, words, options, is_needed=True)
        picks.put(chosen)
        picks.when_changed.append(lambda: taken(picks.read()))
        self.widget(picks)

    def _set_palette(self, value: object) -> None:
        self._preferences.change(palette=value if value in PALETTE_NAMES else BY_ITSELF)

    def _set_size(self, value: object) -> None:
        if isinstance(value, int):
            self._preferences.change(text_percent=value)

    def _set_tile_keys(self, value: object) -> None:
        self._preferences.change(has_tile_keys=value is True)

    def _set_hides_name(self, value: object) -> None:
        self._preferences.change(hides_name=value is True)

    def _set_sound(self, value: object) -> None:
        self._preferences.change(has_sound=value is True)


def disk_words(is_safe: bool | None) -> str:
    """Whether the disk with the record is encrypted, said once and calmly."""
    if is_safe:
        return say("This computer encrypts the disk that the record is on.")
    if is_safe is None:
        return say("Whether the disk is encrypted can't be told from here. See “Privacy” in the help.")
    return say(
        "This computer doesn't encrypt the disk that the record is on. Whoever takes it can read it. On "
        "Linux that is chosen when the system is put on. See “Privacy” in the help."
    )
