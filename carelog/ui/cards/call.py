"""Calling somebody: on every screen, with what noise there is, until somebody says that they are coming."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent, QGuiApplication, QScreen
from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.text import mark, say
from carelog.ui.announce import announce
from carelog.ui.button import Button, Main
from carelog.ui.cards.big import BigWords
from carelog.ui.column import row
from carelog.ui.ringed import Scrolled
from carelog.ui.theme import BEDSIDE_TARGET, STEP, Size
from carelog.ui.words import Words

NO_ALARM = mark("This is no alarm. Nobody may hear it. Have a bell or a buzzer within reach as well.")
Names = Sequence[tuple[str, str]]


class CallView(QWidget):
    """“Please come to …”, buttons for who comes, what can be said of the sound, and that it is no alarm."""

    def __init__(self, coming: Callable[[str], object], stopped: Callable[[], object]) -> None:
        """`coming` is told the initials of who pressed; `stopped`: nobody is needed after all."""
        super().__init__()
        self._coming = coming
        self._stopped = stopped
        self._shown: object = None
        self._words = BigWords()
        self._since = Words("", Size.HEAD)
        self._sound = Words("", Size.NAME)
        self._who = QWidget()
        self._column = QVBoxLayout()
        self._lay_out()

    def _lay_out(self) -> None:
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        column.addWidget(self._since)
        column.addWidget(self._words, 1)
        column.addLayout(self._column)
        column.addWidget(self._sound)
        column.addWidget(Words(say(NO_ALARM), Size.NAME))
        self.scrolled = Scrolled(body, say("Somebody is called"))
        self.scrolled.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.scrolled)

    def show_call(self, words: str, time: str, names: Names, sound: str) -> None:
        """Show whom to come to, since when, who may come, and what is heard of it."""
        self._words.show_words(words)
        self._since.say(say("Called {time}").format(time=time))
        self._sound.say(sound)
        if self._shown != names:
            self._shown = names
            self._fill(names)

    def _fill(self, names: Names) -> None:
        self._column.removeWidget(self._who)
        self._who.setParent(None)
        self._who.deleteLater()
        buttons: list[QWidget] = [self._button(initials, name) for initials, name in names]
        stop = Button.calling(say("Nobody needs to come"), "call_stop", lambda: self._stopped())
        self._who = row(*buttons, self._button("", ""), stop)
        self._column.addWidget(self._who)
        self._who.show()

    def _button(self, initials: str, name: str) -> Main:
        words = say("I am coming")
        shown = f"{initials}: {words}" if initials else words
        button = Main(shown, f"coming_{initials}" if initials else "coming", size=Size.RECEIPT)
        button.setAccessibleName(f"{name or initials}: {words}" if initials else words)
        button.setMinimumHeight(BEDSIDE_TARGET)
        button.clicked.connect(lambda: self._coming(initials))
        return button

    def begin(self) -> None:
        """The keys land where a second press of the one that called stops nothing."""
        self.scrolled.setFocus()
        announce(self, self._words.accessibleName())


class CallSign(QWidget):
    """The same on another screen, over all of it."""

    def __init__(self, view: CallView, screen: QScreen) -> None:
        super().__init__(None, Qt.WindowType.Window | Qt.WindowType.FramelessWindowHint)
        self.setWindowTitle(say("Somebody is called"))
        self.view = view
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(view)
        view.scrolled.setFocus()
        self.setAttribute(Qt.WidgetAttribute.WA_ShowWithoutActivating)
        self.setGeometry(screen.geometry())
        self.showFullScreen()

    def closeEvent(self, event: QCloseEvent) -> None:
        """It goes when somebody comes, not before."""
        event.ignore()


def other_screens(window: QWidget) -> list[QScreen]:
    """The screens that a window isn't on."""
    return [each for each in QGuiApplication.screens() if each is not window.screen()]
