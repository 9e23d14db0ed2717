"""Imports PySide6 without what it adds to every start and to each import after it."""

import importlib
import re
from collections.abc import Callable
from typing import Any

LONG = 2000  # letters of a pattern; those of Python's own modules have fewer than a thousand


class LatePattern:
    """A pattern that is compiled when something is first looked for with it."""

    def __init__(self, compiled: Callable[[], "re.Pattern[str]"]) -> None:
        self._compiled = compiled

    def __getattr__(self, name: str) -> Callable[..., Any]:
        return lambda *given: getattr(self._compiled(), name)(*given)


def import_qt() -> None:
    """Import QtCore, and have the long patterns compiled later that come with it.

    PySide6 has three, to say what is wrong with a call and to write stub files. Compiling them takes two
    fifths of a bare window's processor time, at each start, and the program has no use for them.
    """
    compiled = re.compile

    def late(pattern: Any, flags: Any = 0) -> Any:
        is_long = isinstance(pattern, str) and len(pattern) > LONG
        return LatePattern(lambda: compiled(pattern, flags)) if is_long else compiled(pattern, flags)

    re.compile = late
    try:
        importlib.import_module("PySide6.QtCore")
    finally:
        re.compile = compiled


def leave_imports_alone() -> None:
    """Once Qt is there, PySide6 reads the source of every module that is imported, and keeps all of it.

    It looks for the word `PySide6`, to know where its other spellings of Qt's names (`snake_case`,
    `true_property`) may be asked for. Nothing here asks for them.
    """
    hook = vars(importlib.import_module("shibokensupport.feature"))
    if "_mod_uses_pyside" in hook:
        hook["_mod_uses_pyside"] = lambda _module: False
