"""Digits or letters to choose from, for whoever has no keyboard: what a field asks for, row by row."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPlainTextEdit, QVBoxLayout, QWidget

from carelog.text import mark, say
from carelog.ui.button import Button, Main
from carelog.ui.theme import STEP

Field = QLineEdit | QPlainTextEdit
DIGITS = ("12345", "67890", ".:-")
LETTERS = ("abcdefghij", "klmnopqrst", "uvwxyz.,?-", "1234567890")
NUMBERS = (
    Qt.InputMethodHint.ImhFormattedNumbersOnly
    | Qt.InputMethodHint.ImhDigitsOnly
    | Qt.InputMethodHint.ImhDate
    | Qt.InputMethodHint.ImhTime
)
SIGNS = {
    ".": mark("point"),
    ":": mark("colon"),
    "-": mark("hyphen"),
    ",": mark("comma"),
}


class ScanPad(QWidget):
    """Types into one field until “done”."""

    def __init__(self, field: Field, done: Callable[[], object]) -> None:
        super().__init__()
        self.setObjectName("scan_pad")
        self.field = field
        is_number = bool(field.inputMethodHints() & NUMBERS)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * STEP, STEP, 2 * STEP, 0)
        column.setSpacing(STEP // 2)
        rows = [[self._key(each) for each in row] for row in (DIGITS if is_number else LETTERS)]
        ends = [
            Button.calling(say("delete"), "scan_delete", self._delete),
            Main.calling(say("done"), "scan_done", done),
        ]
        if is_number:
            rows[-1] += ends
        else:
            rows.append([Button.calling(say("space"), "scan_space", lambda: self._type(" ")), *ends])
        for row in rows:
            line = QHBoxLayout()
            column.addLayout(line)
            line.setSpacing(STEP // 2)
            for button in row:
                line.addWidget(button, 1)

    def _key(self, sign: str) -> Button:
        button = Button.calling(sign, f"scan_{sign}", lambda: self._type(sign))
        if sign in SIGNS:
            button.setAccessibleName(say(SIGNS[sign]))
        return button

    def words(self) -> str:
        """What the field is called, and what stands in it."""
        return f"{self.field.accessibleName()}: {self.typed() or say('nothing yet')}"

    def typed(self) -> str:
        """What stands in the field."""
        field = self.field
        return field.toPlainText() if isinstance(field, QPlainTextEdit) else field.text()

    def _type(self, sign: str) -> None:
        if isinstance(self.field, QPlainTextEdit):
            self.field.insertPlainText(sign)
        else:
            self.field.insert(sign)

    def _delete(self) -> None:
        if isinstance(self.field, QPlainTextEdit):
            self.field.textCursor().deletePreviousChar()
        else:
            self.field.backspace()
