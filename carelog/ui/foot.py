"""The one constant line at the window's foot."""

from carelog.text import say
from carelog.ui.numbers import CENTRED
from carelog.ui.pages import CONSTANT
from carelog.ui.theme import Size
from carelog.ui.words import Words


class Foot(Words):
    """The line that stands on every page."""

    def __init__(self) -> None:
        super().__init__(say(CONSTANT), Size.LINE, soft=True)
        self.setObjectName("constant_line")
        self.align(CENTRED)
        self.setContentsMargins(0, 0, 0, 3)
