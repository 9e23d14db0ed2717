"""What this computer is set to for whoever uses it: the size of its letters, contrast, a dark desktop."""

from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontDatabase, QFontInfo, QGuiApplication

from carelog.ui.theme import SIZES, Size


class Computer(NamedTuple):
    """Read once, at the start; what somebody chose in the settings comes before it."""

    letters: int = 0
    """The height of its own letters in px; 0: it doesn't say."""
    wants_contrast: bool = False
    is_dark: bool = False

    @property
    def text_percent(self) -> int:
        """The smallest size of text that is no smaller than the computer's own letters."""
        usual = Size.TEXT.value[0]
        return next((size for size in SIZES if usual * size // 100 >= self.letters), SIZES[-1])


def this_computer() -> Computer:
    """This one, as it is set now; a Qt that can't tell of contrast says nothing of it."""
    own = QFontInfo(QFontDatabase.systemFont(QFontDatabase.SystemFont.GeneralFont))
    hints = QGuiApplication.styleHints()
    told = getattr(hints, "accessibility", None)
    contrast = told().contrastPreference() if told is not None else None
    return Computer(
        own.pixelSize(),
        contrast is not None and contrast == Qt.ContrastPreference.HighContrast,
        hints.colorScheme() == Qt.ColorScheme.Dark,
    )
