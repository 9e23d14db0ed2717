"""The operating system's own voice, where there is one that answers; nothing is brought along for it."""

import sys
from collections.abc import Callable

from PySide6.QtCore import QProcess

from carelog.app.programs import NO_VOICE, VOICES, aloud, here
from carelog.text import say
from carelog.ui.preferences import Preferences

END_WAIT = 1000  # ms


class Voice:
    """Reads aloud when the household has switched it on; what is new breaks off what is being read."""

    def __init__(self, preferences: Preferences, told: Callable[[], None]) -> None:
        """`told` is called when what can be said of the voice has changed."""
        self._preferences = preferences
        self._told = told
        self._process: QProcess | None = None
        self._has_failed = False

    @property
    def is_on(self) -> bool:
        """Whether it is wanted."""
        return self._preferences.now.has_voice

    def trouble(self) -> str:
        """Why nothing is heard, in a sentence; empty: nothing is known against it."""
        if not self.is_on:
            return ""
        if not is_here():
            return say(NO_VOICE)
        return say("The voice of this computer doesn't answer.") if self._has_failed else ""

    def read(self, words: str) -> None:
        """Read this aloud, where the voice is on."""
        self.stop()
        found = here(VOICES.get(sys.platform, ()))
        if not self.is_on or not found:
            return
        (program, *arguments), process = found[0], QProcess()
        self._process = process
        process.finished.connect(lambda code, _how: self._ended(process, is_good=code == 0))
        process.errorOccurred.connect(lambda _error: self._ended(process, is_good=False))
        process.start(program, arguments)
        process.write(aloud(words))
        process.closeWriteChannel()

    def stop(self) -> None:
        """Break off what is being read."""
        process, self._process = self._process, None
        if process is not None:
            process.kill()
            process.waitForFinished(END_WAIT)
            process.deleteLater()

    def _ended(self, process: QProcess, *, is_good: bool) -> None:
        if process is not self._process:
            return
        self._process = None
        process.deleteLater()
        if is_good == self._has_failed:
            self._has_failed = not is_good
            self._told()


def is_here() -> bool:
    """Whether this computer has a voice that we can start."""
    return bool(here(VOICES.get(sys.platform, ())))
