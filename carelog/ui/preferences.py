"""This user's choices as the window uses them: palette, text size, tiles, sound, the window's place."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from carelog.app.settings import BY_ITSELF, CONTRAST_DARK, CONTRAST_LIGHT, DAY, NIGHT, Settings, SettingsFile
from carelog.domain.trouble import Trouble
from carelog.ui.theme import Theme


class Preferences:
    """The settings in use; each change is written at once and shown at once."""

    def __init__(self, file: SettingsFile, theme: Theme) -> None:
        self.now: Settings = file.read()
        self.when_changed: list[Callable[[], None]] = []
        self.trouble = ""
        self._file = file
        self._theme = theme
        self._is_quiet = False
        self._flipped: bool | None = None
        self.apply()

    def change(self, **chosen: Any) -> None:
        """Choose; a disk that doesn't take it is said on the settings' page."""
        self.now = replace(self.now, **chosen)
        self.keep()
        if "palette" in chosen:
            self._flipped = None
        self.apply()
        for listener in self.when_changed:
            listener()

    def remember(self, **found: Any) -> None:
        """Write down what the window found out, which changes nothing that is shown."""
        self.now = replace(self.now, **found)
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
        self._theme.set_percent(self.now.text_percent)
        self._theme.set_look(self._look())

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

    def resize(self, step: int) -> None:
        """Larger or smaller text by so many per cent."""
        self.change(text_percent=min(max(self.now.text_percent + step, 100), 200))

    def _look(self) -> str:
        """The palette's name; the key for the night leaves high contrast and comes back to it."""
        if not self._flipped and self.now.palette in (CONTRAST_LIGHT, CONTRAST_DARK):
            return self.now.palette
        return NIGHT if self._is_night() else DAY

    def _is_night(self) -> bool:
        if self._flipped is not None:
            return self._flipped
        return self.now.palette == NIGHT or (self.now.palette == BY_ITSELF and self._is_quiet)
