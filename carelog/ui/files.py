"""Asking for a file: the system's own dialog where there is one, else Qt's, with buttons that can be hit."""

from pathlib import Path

from PySide6.QtWidgets import QAbstractButton, QFileDialog, QWidget

from carelog.ui.theme import TARGET

READ, WRITE = QFileDialog.AcceptMode.AcceptOpen, QFileDialog.AcceptMode.AcceptSave


def ask_to_open(parent: QWidget, title: str, kind: str) -> Path | None:
    """A file that is there; None when nobody chose one."""
    asked = dialog(parent, title, kind, READ)
    asked.setFileMode(QFileDialog.FileMode.ExistingFile)
    return _chosen(asked)


def ask_to_save(parent: QWidget, title: str, name: str, kind: str) -> Path | None:
    """A place for a file; None when nobody chose one."""
    asked = dialog(parent, title, kind, WRITE)
    asked.setDefaultSuffix(kind.removeprefix("*."))
    asked.selectFile(name)
    return _chosen(asked)


def dialog(parent: QWidget, title: str, kind: str, mode: QFileDialog.AcceptMode) -> QFileDialog:
    """The dialog for some kinds of file, such as “*.pdf”."""
    made = QFileDialog(parent, title, "", kind)
    made.setAcceptMode(mode)
    for button in made.findChildren(QAbstractButton):
        button.setMinimumSize(TARGET, TARGET)
    return made


def _chosen(asked: QFileDialog) -> Path | None:
    found = asked.selectedFiles() if asked.exec() else []
    asked.deleteLater()
    return Path(found[0]) if found else None
