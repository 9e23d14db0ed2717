"""A lock for reading, by choice: after some minutes away the pages that tell of the past ask for a code."""

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication, QLineEdit

from carelog.text import say
from carelog.ui.announce import announce
from carelog.ui.button import Button, Main
from carelog.ui.column import ColumnView
from carelog.ui.preferences import Preferences
from carelog.ui.ringed import Line, Ringed
from carelog.ui.theme import Size

if TYPE_CHECKING:
    from carelog.seal.keyring import Keyring
    from carelog.ui.window import Window

GUARDED = frozenset(
    ("timeline", "course", "sheet", "since", "visit", "who", "give", "copies", "code", "sides", "settings")
)
"""Pages that wait; the board, the cards, flags, what is due, the plan and the emergency page never do."""
ACTIVE = (QEvent.Type.KeyPress, QEvent.Type.MouseButtonPress, QEvent.Type.Wheel, QEvent.Type.TouchBegin)
"""What only a hand does."""


class ReadingLock(QObject):
    """Stands between a page that is asked for and the window; without a code it lets everything through."""

    def __init__(
        self,
        window: "Window",
        preferences: Preferences,
        keyring: "Callable[[], Keyring] | None",
        now: Callable[[], float] = time.monotonic,
    ) -> None:
        """`now` is in seconds and only goes on."""
        super().__init__(window)
        self._window = window
        self._preferences = preferences
        self._keyring = keyring
        self._now = now
        self._active_at: float | None = None
        """When somebody was last seen here since the code was typed; None: it is locked."""
        self._is_watching = False
        self.wanted = ""
        window.holds_back = self.page_for
        window.when_timed.append(self.look)
        preferences.when_changed.append(self._watch)
        self._watch()

    def is_on(self) -> bool:
        """Whether somebody chose a code."""
        return bool(self._preferences.now.reading_code)

    def is_locked(self) -> bool:
        """Whether the code has to be typed before anything is read."""
        if not self.is_on():
            return False
        away = self._preferences.now.reading_minutes * 60
        if self._active_at is not None and self._now() - self._active_at >= away:
            self._active_at = None
        return self._active_at is None

    def page_for(self, name: str) -> str:
        """The page that is shown when one is asked for."""
        if name in GUARDED and self.is_locked():
            self.wanted = name
            return "reading"
        return name

    def look(self) -> None:
        """Nobody was here for some minutes: what tells of the past gives way to the board."""
        if self._window.page() in GUARDED and self.is_locked():
            self._window.go("board")

    def open(self, typed: str) -> bool:
        """Whether this is the code, or the household's recovery code; then reading goes on."""
        from carelog.app.reading_lock import fits

        if not fits(self._preferences.now.reading_code, typed) and not self._is_recovery_code(typed):
            return False
        self.let_in()
        return True

    def let_in(self) -> None:
        """Whoever is here has just shown that they know the code."""
        self._active_at = self._now()

    def _is_recovery_code(self, typed: str) -> bool:
        from carelog.domain.trouble import Trouble
        from carelog.seal import code as codes
        from carelog.seal.keys import of_code

        try:
            ring = self._keyring().read() if self._keyring is not None else None
            return ring is not None and of_code(codes.read(typed)) == ring.own.code_key
        except Trouble:
            return False

    def _watch(self) -> None:
        """See keys and presses, only while there is a lock."""
        application = QApplication.instance()
        if application is None or self.is_on() == self._is_watching:
            return
        self._is_watching = self.is_on()
        if self._is_watching:
            application.installEventFilter(self)
        else:
            application.removeEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in ACTIVE and not self.is_locked():
            self._active_at = self._now()
        return super().eventFilter(watched, event)


class ReadingPage(ColumnView):
    """Asks for the code, then shows the page that was wanted."""

    def __init__(self, lock: ReadingLock, go: Callable[[str], None]) -> None:
        super().__init__()
        self._lock = lock
        self._go = go
        self._said = ""

    def opened(self) -> None:
        self._said = ""
        self._key = object()
        super().opened()

    def key(self) -> object:
        return self._said

    def fill(self) -> None:
        self.heading(say("Type the code to read"))
        if self._said:
            self.words(self._said, Size.STRONG)
        self.words(say("The board, the flags and the emergency page work without it."))
        line = Line("reading_code", say("The code for reading"))
        line.setEchoMode(QLineEdit.EchoMode.Password)
        line.returnPressed.connect(self._open)
        self.widget(Ringed(line))
        self.row(
            Main.calling(say("Show the page"), "reading_open", self._open),
            Button.calling(say("To the board"), "reading_board", lambda: self._go("board")),
        )
        self.words(say("Your recovery code from the paper works here too."), soft=True)

    def _open(self) -> None:
        line = self.findChild(Line, "reading_code")
        if line is not None and self._lock.open(line.text()):
            self._go(self._lock.wanted or "board")
            return
        self._said = say("That isn't the code. Are capital letters locked?")
        announce(self, self._said)
        self._key = object()
        self.refresh()
