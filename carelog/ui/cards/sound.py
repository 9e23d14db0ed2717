"""Making as much noise as this computer can: a player with a tone of our own, and the system's bell."""

import contextlib
import importlib
import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Protocol, cast

from PySide6.QtCore import QObject, QProcess, QTimer
from PySide6.QtWidgets import QApplication

from carelog import paths
from carelog.app.programs import PLAYERS, here
from carelog.text import say

SYSTEM: str = sys.platform
AGAIN = 400  # ms between two playings
BELL_AGAIN = 2000  # ms between two strokes of the bell, where nothing plays
END_WAIT = 1000  # ms


class SystemSound(Protocol):
    """What plays a file inside this process: Windows has no program for it but a shell."""

    SND_FILENAME: int
    SND_ASYNC: int
    SND_LOOP: int
    SND_NODEFAULT: int

    def PlaySound(self, sound: str | None, flags: int) -> None:
        """Play it, or with None nothing more; `RuntimeError` if it can't."""


class ToneRinger:
    """Rings until it is told to stop; a player that doesn't work gives way to the next."""

    def __init__(self, folder: Path, told: Callable[[], None], owner: QObject) -> None:
        """`folder` is private; `told` is called when what can be said of the sound has changed.

        `owner`: what it ends with.
        """
        self._folder = folder
        self._told = told
        self._file: Path | None = None
        self._players: list[list[str]] = []
        self._process: QProcess | None = None
        self._system: SystemSound | None = None
        self._again = QTimer(owner)
        self._again.setSingleShot(True)
        self._again.timeout.connect(self._ring)

    @property
    def is_ringing(self) -> bool:
        """Whether somebody is being called."""
        return self._file is not None or self._again.isActive()

    def words(self) -> str:
        """What can be said of the sound, in a sentence."""
        if self._players or self._system is not None:
            return say("This computer plays a tone, as loud as it is set.")
        return say("There is no sound here but the bell of this computer, which may be silent.")

    def start(self) -> None:
        """Begin to ring."""
        self.stop()
        self._players, self._system = found(), system_sound()
        is_wanted = bool(self._players) or self._system is not None
        if is_wanted and not self._write():
            self._players, self._system = [], None
        self._ring()

    def stop(self) -> None:
        """Ring no more, and leave no file behind."""
        self._again.stop()
        system, self._system = self._system, None
        if system is not None:
            # A device that was pulled out can't be told to be silent; the call ends all the same.
            with contextlib.suppress(RuntimeError):
                system.PlaySound(None, 0)
        process, self._process = self._process, None
        if process is not None:
            process.kill()
            process.waitForFinished(END_WAIT)
            process.deleteLater()
        file, self._file = self._file, None
        if file is not None:
            with contextlib.suppress(OSError):
                file.unlink()

    def _write(self) -> bool:
        """Write the tone where the player finds it; whether the disk took it."""
        from carelog.app.tone import tone

        try:
            paths.make_private(self._folder)
            handle, name = tempfile.mkstemp(dir=self._folder, suffix=".wav")  # 0600 from the start
            self._file = Path(name)
            with os.fdopen(handle, "wb") as file:
                file.write(tone())
        except OSError:
            return False
        return True

    def _ring(self) -> None:
        QApplication.beep()
        if self._system is not None and self._plays_on(self._system):
            return
        if not self._players or self._file is None:
            self._again.start(BELL_AGAIN)
            return
        (program, *words), file = self._players[0], self._file
        process = self._process = QProcess()
        process.finished.connect(lambda code, _how: self._ended(process, is_good=code == 0))
        process.errorOccurred.connect(lambda _error: self._ended(process, is_good=False))
        process.start(program, [*words, str(file)])

    def _plays_on(self, system: "SystemSound") -> bool:
        """Whether the system itself plays the tone now, again and again until it is told to stop."""
        flags = system.SND_FILENAME | system.SND_ASYNC | system.SND_LOOP | system.SND_NODEFAULT
        try:
            system.PlaySound(str(self._file), flags)
        except RuntimeError:
            self._system = None
            self._told()
            return False
        return True

    def _ended(self, process: QProcess, *, is_good: bool) -> None:
        if process is not self._process:
            return
        self._process = None
        process.deleteLater()
        if not is_good:
            del self._players[0]
            self._told()
        self._again.start(AGAIN if self._players else BELL_AGAIN)


def found() -> list[list[str]]:
    """The players of this computer, best first."""
    return here(PLAYERS.get(SYSTEM, ()))


def system_sound() -> SystemSound | None:
    """Python's own way to the sound of Windows; None on other systems."""
    return cast("SystemSound", importlib.import_module("winsound")) if SYSTEM == "win32" else None


def is_heard() -> bool:
    """Whether this computer has a player; whether it works is known when it was tried."""
    return bool(found()) or system_sound() is not None
