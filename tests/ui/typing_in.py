"""Lines and buttons used as by hand: with the keyboard alone."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from carelog.ui.ringed import Line
from tests.ui.conftest import Opened


def typed(opened: Opened, name: str, text: str) -> None:
    """Type into a line, over what stood there."""
    line = opened.find(name, Line)
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, text)


def pressed(opened: Opened, name: str) -> None:
    """Press a button by Return."""
    opened.pause()
    opened.find(name).setFocus()
    QTest.keyClick(opened.find(name), Qt.Key.Key_Return)
