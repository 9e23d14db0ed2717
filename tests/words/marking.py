"""Finds words for people that stand in the source without `say` or `mark`."""

import ast
import re
from collections.abc import Iterator

WIDGETS = frozenset(
    {
        "Words", "QLabel", "QPushButton", "QCheckBox", "QGroupBox", "QAction", "QMessageBox", "Button",
        "Choice", "Main", "Strong", "Page", "TileButton", "Fact", "Line", "Picks", "Trouble", "Refused",
        "WrongUse",
    }
)  # fmt: skip
"""Classes whose first text is shown (of `SECOND`: the second one)."""
SECOND = frozenset({"Line", "Page", "Picks", "TileButton"})
METHODS = frozenset(
    {
        "setText", "setWindowTitle", "setToolTip", "setStatusTip", "setWhatsThis", "setPlaceholderText",
        "setAccessibleName", "setAccessibleDescription", "setTitle", "showMessage", "setPrefix", "setSuffix",
        "addAction", "say", "warn", "heading", "words", "add_words", "add_button",
    }
)  # fmt: skip
OWN_NAMES = frozenset({"carelog"})

_LETTERS = re.compile(r"[^\W\d_]{2,}")


def unmarked(source: str) -> Iterator[tuple[int, str]]:
    """Line and text of each bare literal with letters that a widget or a message is given."""
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        is_widget = name in WIDGETS
        is_method = isinstance(node.func, ast.Attribute) and name in METHODS
        if not (is_widget or is_method):
            continue
        place = 1 if name in SECOND else 0
        for argument in node.args[place : place + 1]:
            for words in bare(argument):
                if _LETTERS.search(words) and words not in OWN_NAMES:
                    yield node.lineno, words


def bare(node: ast.expr) -> Iterator[str]:
    """The literal texts of an argument that no call translates."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.JoinedStr):
        for part in node.values:
            yield from bare(part)
    elif isinstance(node, ast.BinOp):
        yield from bare(node.left)
        yield from bare(node.right)
    elif isinstance(node, ast.IfExp):
        yield from bare(node.body)
        yield from bare(node.orelse)
