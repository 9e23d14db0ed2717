"""The numbers that stand for Qt's own enumerations are Qt's."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QPen

from carelog.ui import numbers
from carelog.ui.glyphs import STROKE, round_pen

NAMED = {
    "LEFT": Qt.AlignmentFlag.AlignLeft,
    "RIGHT": Qt.AlignmentFlag.AlignRight,
    "ACROSS": Qt.AlignmentFlag.AlignHCenter,
    "ABSOLUTE": Qt.AlignmentFlag.AlignAbsolute,
    "MIDDLE": Qt.AlignmentFlag.AlignVCenter,
    "CENTRED": Qt.AlignmentFlag.AlignCenter,
    "WRAPPED": Qt.TextFlag.TextWordWrap,
    "PLAIN": Qt.TextFormat.PlainText,
    "BY_CLICK": Qt.FocusPolicy.ClickFocus,
    "BY_ANY_MEANS": Qt.FocusPolicy.StrongFocus,
}
OF_A_PEN = {"PEN", "PEN_FORM"}


def test_each_number_is_qts_own() -> None:
    assert {name: each.value for name, each in NAMED.items()} == {
        name: getattr(numbers, name) for name in NAMED
    }


def test_every_number_is_looked_at() -> None:
    assert {name for name in vars(numbers) if name.isupper()} == {*NAMED, *OF_A_PEN}


def test_the_pen_of_the_glyphs_is_the_one_that_would_be_named() -> None:
    named = QPen(Qt.GlobalColor.black, STROKE, c=Qt.PenCapStyle.RoundCap, j=Qt.PenJoinStyle.RoundJoin)
    made = round_pen()
    made.setColor(named.color())
    assert made == named
    assert made != QPen(Qt.GlobalColor.black, STROKE)
