"""A line to type a few words into, kept while the page is filled anew, and the button that saves them."""

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QWidget

from carelog.ui.button import Button
from carelog.ui.ringed import Line, Ringed
from carelog.ui.theme import STEP, Size, dress


def typed_line(
    name: str, label: str, typed: dict[str, str], entered: Callable[[], object] | None = None
) -> Line:
    """The line; what is typed stays in `typed` under its name; `entered`: what Enter does in it."""
    line = Line(name, label)
    line.setPlaceholderText(label)
    dress(line, Size.FAR)
    line.setText(typed.get(name, ""))
    line.textChanged.connect(lambda text: typed.update({name: text}))
    if entered is not None:
        line.returnPressed.connect(entered)
    return line


def line_and_button(line: Line, button: Button) -> QWidget:
    """Side by side; the line takes what room the button leaves."""
    holder = QWidget()
    beside = QHBoxLayout(holder)
    beside.setContentsMargins(0, 0, 0, 0)
    beside.setSpacing(STEP)
    beside.addWidget(Ringed(line), 1)
    beside.addWidget(button)
    return holder
