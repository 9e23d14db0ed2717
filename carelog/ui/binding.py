"""Spares each import what PySide6 adds to it."""

import importlib

import PySide6.QtCore  # noqa: F401  (the hook on imports comes with it)


def leave_imports_alone() -> None:
    """Once Qt is there, PySide6 reads the source of every module that is imported, and keeps all of it.

    It looks for the word `PySide6`, to know where its other spellings of Qt's names (`snake_case`,
    `true_property`) may be asked for. Nothing here asks for them.
    """
    hook = vars(importlib.import_module("shibokensupport.feature"))
    if "_mod_uses_pyside" in hook:
        hook["_mod_uses_pyside"] = lambda _module: False
