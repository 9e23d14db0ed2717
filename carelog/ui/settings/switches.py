"""The choices of a scan by one switch or two, and of pressing by a pointer that rests."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from carelog.app.settings import Settings
from carelog.text import mark, say
from carelog.ui.announce import announce
from carelog.ui.button import Button
from carelog.ui.column import row
from carelog.ui.forms.picks import YES_NO, Option, Picks
from carelog.ui.preferences import Preferences
from carelog.ui.scan.switch import DOWN, switch_of, switch_words
from carelog.ui.theme import Size
from carelog.ui.words import Words

WHAT = mark(
    "A ring goes from row to row. Press the switch to go in, and once more to press what the ring is on. "
    "The ring saves nothing by itself. F7 stops it."
)
AHEAD = mark("Press the key or the mouse button now. Esc leaves it as it is.")
DWELL = mark("Where the pointer rests on a button, it is pressed. Then move away before the next one.")
_SECONDS = "{seconds}\N{NO-BREAK SPACE}s"


def _times(*milliseconds: int) -> tuple[Option, ...]:
    return tuple((each, _SECONDS.format(seconds=f"{each / 1000:g}")) for each in milliseconds)


PACES = _times(700, 1000, 1500, 2000, 3000, 5000)
PAUSES = _times(0, 500, 1000, 2000, 3000)
HOLDS = _times(0, 200, 500, 1000, 2000)
BOUNCES = _times(0, 100, 300, 700, 1500)
RESTS: tuple[Option, ...] = ((0, mark("never")), *_times(800, 1200, 2000, 3000))


def scan_choices(now: Settings) -> tuple[object, ...]:
    """All that is chosen here, for comparison."""
    return (
        now.has_scanning,
        now.scan_switch,
        now.scan_second,
        now.scan_pace,
        now.scan_pause,
        now.scan_hold,
        now.scan_bounce,
        now.dwell,
    )


class Choosing(QWidget):
    """A column of choices, each written at once."""

    def __init__(self, preferences: Preferences) -> None:
        super().__init__()
        self.preferences = preferences
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)

    def add(self, widget: QWidget) -> None:
        """One more line."""
        self._layout.addWidget(widget)

    def pick(self, words: str, name: str, options: tuple[Option, ...]) -> None:
        """A question and its answers; the one in use is pressed."""
        self.add(Words(words, Size.STRONG))
        picks = Picks(name, words, options, is_needed=True)
        picks.put(getattr(self.preferences.now, name))

        def taken() -> None:
            value = picks.read()
            if isinstance(value, int):
                self.preferences.change(**{name: value})

        picks.when_changed.append(taken)
        self.add(picks)


class ScanChoice(Choosing):
    """Off until somebody switches it on."""

    def __init__(self, preferences: Preferences) -> None:
        super().__init__(preferences)
        now = preferences.now
        self._learner: Learner | None = None
        self._message = Words("", Size.STRONG)
        self.add(Words(say(WHAT)))
        self.pick(say("Scan the window with a switch"), "has_scanning", YES_NO)
        self.add(Words(say("The switch: {switch}").format(switch=switch_words(now.scan_switch)), Size.STRONG))
        self.add(row(self._learn(say("Choose the switch"), "scan_switch")))
        second = switch_words(now.scan_second)
        self.add(
            Words(say("A second switch that moves the ring on: {switch}").format(switch=second), Size.STRONG)
        )
        buttons = [self._learn(say("Choose the second switch"), "scan_second")]
        if now.scan_second:
            buttons.append(
                Button.calling(
                    say("No second switch"), "scan_one", lambda: preferences.change(scan_second="")
                )
            )
        self.add(row(*buttons))
        self.add(self._message)
        if not now.scan_second:
            self.pick(say("How long the ring stays at each place"), "scan_pace", PACES)
        self.pick(say("Pause after a choice"), "scan_pause", PAUSES)
        self.pick(say("How long the switch is held until it counts"), "scan_hold", HOLDS)
        self.pick(say("Count no second press within"), "scan_bounce", BOUNCES)

    def _learn(self, words: str, name: str) -> Button:
        return Button.calling(words, f"choose_{name}", lambda: self._listen(name))

    def _listen(self, name: str) -> None:
        self._learner = Learner(self, lambda switch: self._take(name, switch))
        self._say(say(AHEAD))

    def _take(self, name: str, switch: str) -> None:
        now = self.preferences.now
        other = now.scan_second if name == "scan_switch" else now.scan_switch
        if switch and switch == other:
            self._say(say("That is the other switch already. Choose again."))
        elif switch:
            self.preferences.change(**{name: switch})
        else:
            self._say("")

    def _say(self, words: str) -> None:
        self._message.say(words)
        announce(self._message, words)


class DwellChoice(Choosing):
    """Off until somebody switches it on."""

    def __init__(self, preferences: Preferences) -> None:
        super().__init__(preferences)
        self.add(Words(say(DWELL)))
        self.pick(say("How long the pointer rests until it presses"), "dwell", RESTS)


class Learner(QObject):
    """Takes the next key or mouse button for itself, wherever it is pressed."""

    def __init__(self, parent: QObject, taken: Callable[[str], object]) -> None:
        """`taken` gets the switch, or nothing where Esc was pressed."""
        super().__init__(parent)
        self._taken = taken
        app = QApplication.instance()
        if app is not None:
            app.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() not in DOWN:
            return super().eventFilter(watched, event)
        app = QApplication.instance()
        if app is not None:
            app.removeEventFilter(self)
        is_escape = isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape
        self._taken("" if is_escape else switch_of(event))
        return True
