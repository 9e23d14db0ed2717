"""Fonts, sizes and the palette of the whole program: one text size from 100 to 300 %, one look of several."""

from collections.abc import Callable
from enum import Enum
from functools import cache

from PySide6.QtGui import QFont, QFontDatabase
from PySide6.QtWidgets import QApplication, QToolTip, QWidget

from carelog import resources
from carelog.ui.palette import GROUND, INK, LOOKS, palette

FAMILY = "Noto Sans"
FACES = ("NotoSans-Regular.ttf", "NotoSans-SemiBold.ttf")
LATER_FACES = ("NotoSansArabic-Regular.ttf", "NotoSansArabic-SemiBold.ttf")
STYLE = ("-style", "fusion")
"""Words for the application's start; `setStyle` would hand a style back, and with it all its enums."""
SIZES = (100, 125, 150, 175, 200, 250, 300)
"""The sizes of text that are offered, in per cent."""
SMALLEST, LARGEST = SIZES[0], SIZES[-1]
HUGE = 250  # per cent; from here on a window of usual height holds a few lines
HEADS_GROW_TO = 200  # per cent; beyond it only text grows, until it is as large as they are
LARGE = 150  # per cent; from here on text is large (24 px, WCAG 2.2)
ALL_LARGE = 175  # per cent; from here on all of it is, the second lines and the line at the foot too
LARGE_LETTERS = 24  # px
TARGET = 44  # px, WCAG 2.2 criterion 2.5.5
BEDSIDE_TARGET = 96  # px, the tiles
STEP = 8  # px, the grid
CORNER = 5  # px


class Size(Enum):
    """What a text is, and with it its size in px at 100 % and its weight."""

    LINE = (12, False)
    SMALL = (14, False)
    SMALL_STRONG = (14, True)
    TEXT = (16, False)
    STRONG = (16, True)
    FAR = (18, False)
    """Read at two metres."""
    NAME = (18, True)
    TILE = (20, True)
    RECEIPT = (22, True)
    HEAD = (26, True)
    EMERGENCY = (24, False)
    EMERGENCY_HEAD = (24, True)
    EMERGENCY_NAME = (28, True)


THIN_AT_NIGHT = frozenset({Size.TILE, Size.RECEIPT, Size.HEAD, Size.NAME, Size.STRONG})
"""Letters shine: in a dark room they keep their size and lose their weight, so that all can have 7:1."""
THIN_WHERE_LARGE = THIN_AT_NIGHT | {Size.EMERGENCY_NAME}
ALWAYS_LARGE = frozenset({Size.EMERGENCY, Size.EMERGENCY_HEAD, Size.EMERGENCY_NAME})
"""Sizes that a whole page is filled with: they have 24 px at 100 %, and shine less at night."""
KEPT = "text_size"
"""The property that says in which kind of text a widget is dressed; None: it keeps the font it has."""


class Theme:
    """The look that is on: its palette and text size; changing either repaints every widget."""

    def __init__(self, app: QApplication) -> None:
        self._app = app
        self.percent = SMALLEST
        self.look = "day"
        self.when_resizing: list[Callable[[], object]] = []
        """Called before the text gets another size."""
        self._load(FACES)
        self._put_on()
        self._set_letters()

    def load_the_rest(self) -> None:
        """Faces that a first paint can do without."""
        self._load(LATER_FACES)

    @staticmethod
    def _load(faces: tuple[str, ...]) -> None:
        for face in faces:
            QFontDatabase.addApplicationFont(str(resources.find(f"fonts/{face}")))

    @property
    def is_night(self) -> bool:
        """Whether the night's palette is on."""
        return self.look == "night"

    def set_look(self, look: str) -> None:
        """Put on the palette of this name."""
        if look != self.look:
            self.look = look
            self._put_on()
            self._dress_all()

    def set_percent(self, percent: int) -> None:
        """Set the size of all text, 100 to 300 %."""
        wanted = min(max(percent, SMALLEST), LARGEST)
        if wanted == self.percent:
            return
        self.percent = wanted
        for listener in self.when_resizing:
            listener()
        self._set_letters()
        if self.is_night:
            self._put_on()
        self._dress_all()

    def _put_on(self) -> None:
        """The palette for all widgets, and for what is told beside the pointer: that has one of its own."""
        usual, large = LOOKS[self.look]
        made = palette(large if self.percent >= ALL_LARGE else usual)
        self._app.setPalette(made)
        QToolTip.setPalette(made)

    def _set_letters(self) -> None:
        made = font(Size.TEXT, self.percent)
        self._app.setFont(made)
        QToolTip.setFont(made)

    def _dress_all(self) -> None:
        for widget in self._app.allWidgets():
            name = widget.property(KEPT)
            if isinstance(name, str):
                widget.setFont(font(Size[name], self.percent))


def pixels(size: Size, percent: int) -> int:
    """The height of a kind of text in px; nothing that is larger than text gets smaller than it."""
    own, text = size.value[0], Size.TEXT.value[0]
    if own <= text:
        grown = round(own * percent / 100)
        return max(grown, LARGE_LETTERS) if percent >= ALL_LARGE else grown
    return max(round(own * min(percent, HEADS_GROW_TO) / 100), round(text * percent / 100))


def font(size: Size, percent: int) -> QFont:
    """The font of a kind of text; whoever changes it has one of its own."""
    return QFont(_made_once(size, percent, is_strong(size, percent)))


@cache
def _made_once(size: Size, percent: int, is_strong: bool) -> QFont:
    made = QFont(FAMILY)
    made.setPixelSize(pixels(size, percent))
    made.setWeight(QFont.Weight.DemiBold if is_strong else QFont.Weight.Normal)
    return made


def is_strong(size: Size, percent: int) -> bool:
    """Whether a kind of text is in strong letters now."""
    is_thin = size in (THIN_AT_NIGHT if percent < LARGE else THIN_WHERE_LARGE)
    return size.value[1] and not (is_thin and is_dark())


def is_dark() -> bool:
    """Whether a palette for a dark room is on: a dark ground, and ink that doesn't shine."""
    return has_dark_ground() and QApplication.palette().color(INK).lightness() < 192


def has_dark_ground() -> bool:
    """Whether a dark ground is on: at night, and where dark high contrast was chosen."""
    return QApplication.palette().color(GROUND).lightness() < 64


def dress(widget: QWidget, size: Size) -> None:
    """Give a widget the font of its kind of text, now and after each change of the text size."""
    widget.setProperty(KEPT, size.name)
    widget.setFont(font(size, percent_now()))


def percent_now() -> int:
    """The text size in use, in per cent, read from the application's own font."""
    return round(QApplication.font().pixelSize() / Size.TEXT.value[0] * 100)
