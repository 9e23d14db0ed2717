"""This user's choices as the window uses them: palette, text size, tiles, sound, the window's place."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from carelog.app.settings import (
    AS_COMPUTER,
    BY_ITSELF,
    CONTRAST_DARK,
    CONTRAST_LIGHT,
    DAY,
    NIGHT,
    Settings,
    SettingsFile,
)
from carelog.domain.trouble import Trouble
from carelog.ui.computer import Computer
from carelog.ui.theme import SIZES, Theme

if TYPE_CHECKING:
    from datetime import time


class Preferences:
    """The settings in use; each change is written at once and shown at once."""

    def __init__(
        self, file: SettingsFile, theme: Theme, computer: Computer | None = None, begun: str = ""
    ) -> None:
        """`computer`: how this computer is set, which counts where nothing was chosen.

        `begun`: the time of day here, as in “22:10”. Until the record is read the quiet hours are those
        of the last time: a window that begins at night isn't bright for a moment.
        """
        self._computer = computer or Computer()
        self.now: Settings = file.read()
        if self._computer.wants_contrast is not None:
            self.now = self.now._replace(contrast=self._computer.contrast)
        self.when_changed: list[Callable[[], None]] = []
        self.trouble = ""
        self._file = file
        self._theme = theme
        self._is_quiet = bool(begun) and _is_within(self.now.night, begun)
        self._flipped: bool | None = None
        self.apply()

    def change(self, **chosen: Any) -> None:
        """Choose; a disk that doesn't take it is said on the settings' page."""
        self.now = self.now._replace(**chosen)
        self.keep()
        if "palette" in chosen:
            self._flipped = None
        self.apply()
        for listener in self.when_changed:
            listener()

    def remember(self, **found: Any) -> None:
        """Write down what the window found out, which changes nothing that is shown."""
        self.now = self.now._replace(**found)
        self.keep()

    def keep(self) -> None:
        """Write the settings."""
        try:
            self._file.write(self.now)
            self.trouble = ""
        except Trouble as trouble:
            self.trouble = trouble.sentence

    def apply(self) -> None:
        """Put the text size and the palette on."""
        self._theme.set_percent(self.text_percent)
        self._theme.set_look(self._look())

    def meet(self, computer: Computer) -> None:
        """This computer as it is set now: the next start shows its contrast from the first picture on."""
        self._computer = computer
        if computer.contrast != self.now.contrast:
            self.remember(contrast=computer.contrast)
        self.apply()

    def keep_night(self, start: "time", end: "time") -> None:
        """Keep the quiet hours for the next start."""
        night = f"{start:%H:%M} {end:%H:%M}"
        if night != self.now.night:
            self.remember(night=night)

    def set_quiet(self, is_quiet: bool) -> None:
        """Say whether it is a quiet hour; by itself the palette follows, and the key's flip ends."""
        if is_quiet != self._is_quiet:
            self._is_quiet = is_quiet
            self._flipped = None
            self.apply()

    def flip(self) -> None:
        """Night or day by the key, until the quiet hours begin or end."""
        self._flipped = not self._is_night()
        self.apply()

    @property
    def text_percent(self) -> int:
        """The size of text in use: the chosen one, else what the computer's own letters ask for."""
        return self._computer.text_percent if self.now.text_percent == AS_COMPUTER else self.now.text_percent

    def resize(self, *, is_larger: bool) -> None:
        """The next size of text, or the one before."""
        now = self.text_percent
        found = (
            [size for size in SIZES if size > now] if is_larger else [size for size in SIZES if size < now]
        )
        if found:
            self.change(text_percent=found[0] if is_larger else found[-1])

    def _look(self) -> str:
        """The palette's name; the key for the night leaves high contrast and comes back to it.

        By itself it is high contrast where the computer is set to it: dark at night or on a dark desktop.
        """
        own = self.now.palette
        if own == BY_ITSELF and self.now.contrast:
            is_dark = (self._is_quiet or self.now.contrast == CONTRAST_DARK) and self._flipped is None
            own = CONTRAST_DARK if is_dark else CONTRAST_LIGHT
        if not self._flipped and own in (CONTRAST_LIGHT, CONTRAST_DARK):
            return own
        return NIGHT if self._is_night() else DAY

    def _is_night(self) -> bool:
        if self._flipped is not None:
            return self._flipped
        return self.now.palette == NIGHT or (self.now.palette == BY_ITSELF and self._is_quiet)


def _is_within(span: str, now: str) -> bool:
    """Whether a time lies in hours that are written as “22:00 07:00”; they may go over midnight."""
    start, _, end = span.partition(" ")
    return start <= now < end if start <= end else now >= start or now < end
