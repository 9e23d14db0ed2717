"""The two newest flags, read to who can't see them: by the screen reader, and by the computer's voice."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from carelog.text import say
from carelog.ui.announce import announce
from carelog.ui.cards.voice import Voice
from carelog.ui.flags import shown
from carelog.ui.preferences import Preferences
from carelog.ui.present import Present

if TYPE_CHECKING:
    from carelog.domain.flag import Flag

NEWEST = 2


class FlagReader:
    """Reads when its key is pressed, and says where nothing can be heard."""

    def __init__(
        self, window: QWidget, present: Present, preferences: Preferences, tell: Callable[[str], object]
    ) -> None:
        """`tell` shows a sentence that stays until somebody has read it."""
        self._window = window
        self._present = present
        self._tell = tell
        self._voice = Voice(preferences, self._say_trouble)

    def read(self) -> None:
        """Read them now."""
        words = self.words()
        announce(self._window, words)
        if self._voice.is_on:
            self._voice.read(words)
            self._say_trouble()
        else:
            self._tell(say("To hear the flags, switch the voice on in the settings."))

    def stop(self) -> None:
        """Break off what is being read."""
        self._voice.stop()

    def _say_trouble(self) -> None:
        if self._voice.trouble():
            self._tell(self._voice.trouble())

    def words(self) -> str:
        """What is read: levels and headlines, the newest first."""
        flags, picture = self._present.flags, self._present.picture
        if flags is None or picture is None:
            return self._present.unread() if picture is None else say("Flags: not read yet")
        found = sorted(shown.in_force(flags), key=lambda flag: -flag.raised_at)[:NEWEST]
        if not found:
            from carelog.ui.board.read import last_line

            return last_line(self._present, picture, self._present.now(), are_flags_folded=False)
        return " ".join(_told(flag) for flag in found)


def _told(flag: "Flag") -> str:
    return f"{flag.level.asks}. {flag.headline} {flag.why}".strip()
