"""What this computer is set to for whoever uses it: the size of its letters, contrast, a dark desktop."""

from typing import NamedTuple

from PySide6 import QtCore
from PySide6.QtGui import QFontDatabase, QFontInfo, QGuiApplication

from carelog.app.settings import CONTRAST_DARK, CONTRAST_LIGHT
from carelog.ui.theme import SIZES, Size


class Computer(NamedTuple):
    """Read at the start; what somebody chose in the settings comes before it."""

    letters: int = 0
    """The height of its own letters in px; 0: it doesn't say."""
    wants_contrast: bool | None = None
    """None: it isn't asked yet, and how it was set the last time counts."""
    is_dark: bool = False

    @property
    def text_percent(self) -> int:
        """The smallest size of text that is no smaller than the computer's own letters."""
        usual = Size.TEXT.value[0]
        return next((size for size in SIZES if usual * size // 100 >= self.letters), SIZES[-1])

    @property
    def contrast(self) -> str:
        """The palette of high contrast that suits it; empty: it isn't set to that."""
        return "" if not self.wants_contrast else CONTRAST_DARK if self.is_dark else CONTRAST_LIGHT


def own_letters() -> Computer:
    """This one before the first paint: to hear of the rest makes all enumerations of `Qt`."""
    own = QFontInfo(QFontDatabase.systemFont(QFontDatabase.SystemFont.GeneralFont))
    return Computer(own.pixelSize())


def this_computer() -> Computer:
    """This one, as it is set now; a Qt that can't tell of contrast says nothing of it."""
    hints = QGuiApplication.styleHints()
    told = getattr(hints, "accessibility", None)
    contrast = told().contrastPreference() if told is not None else None
    return Computer(
        own_letters().letters,
        contrast is not None and contrast == QtCore.Qt.ContrastPreference.HighContrast,
        hints.colorScheme() == QtCore.Qt.ColorScheme.Dark,
    )
