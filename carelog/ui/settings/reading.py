"""The choice of a lock for reading, on the settings' page."""

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.text import mark, say
from carelog.ui.button import Button
from carelog.ui.column import row
from carelog.ui.forms.picks import Option, Picks
from carelog.ui.preferences import Preferences
from carelog.ui.reading import ReadingLock
from carelog.ui.ringed import Line, Ringed
from carelog.ui.theme import Size
from carelog.ui.words import ToldWords, Words

MINUTES: tuple[Option, ...] = tuple((each, f"{each}\N{NO-BREAK SPACE}min") for each in (5, 15, 60))
WHAT = mark(
    "After some minutes away, days, sheets and people ask for a code. Tiles, flags and the emergency page "
    "never do. It keeps eyes out, no more: it encrypts no file."
)


class ReadingChoice(QWidget):
    """Off until somebody chooses a code."""

    def __init__(self, preferences: Preferences, lock: ReadingLock) -> None:
        super().__init__()
        self._preferences = preferences
        self._lock = lock
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._add(Words(say(WHAT)))
        self._message = ToldWords()
        minutes = Picks("reading_minutes", say("Minutes away"), MINUTES, is_needed=True)
        minutes.put(preferences.now.reading_minutes)
        minutes.when_changed.append(lambda: self._set_minutes(minutes.read()))
        self._add(Words(say("Minutes away, until it asks:"), Size.STRONG))
        self._add(minutes)
        if lock.is_on():
            self._add(Words(say("It is on."), Size.STRONG))
            self._add(row(Button.calling(say("Switch the lock off"), "reading_off", self._off)))
        else:
            self._line = Line("reading_new", say("A code of four or more letters or digits"))
            self._line.setPlaceholderText(say("A code of four or more letters or digits"))
            self._add(Ringed(self._line))
            self._add(row(Button.calling(say("Switch the lock on"), "reading_on", self._on)))
        self._add(self._message)

    def _add(self, widget: QWidget) -> None:
        self._layout.addWidget(widget)

    def _set_minutes(self, value: object) -> None:
        if isinstance(value, int):
            self._preferences.change(reading_minutes=value)

    def _on(self) -> None:
        from carelog.app.reading_lock import SHORTEST, kept_of

        code = self._line.text().strip()
        if len(code) < SHORTEST:
            self._message.say(say("Type at least four letters or digits."))
            return
        self._lock.let_in()
        self._preferences.change(reading_code=kept_of(code))

    def _off(self) -> None:
        self._preferences.change(reading_code="")
