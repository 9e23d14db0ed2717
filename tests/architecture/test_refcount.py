"""A Qt call that loses a reference to None ends the process within hours (PySide6 6.12.0, Python 3.11)."""

import ctypes
import sys
from collections.abc import Callable

import pytest
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot

CALLS = 2000
NOISE = 100  # references that come and go by themselves during the calls

# From Python 3.12 on None is never counted, so there is nothing that could be lost.
pytestmark = pytest.mark.skipif(sys.version_info >= (3, 12), reason="None isn't counted by this Python")


class Sender(QObject):
    said = Signal(object)


def gained(call: Callable[[], object]) -> int:
    """The references to None gained over many calls."""
    call()
    before = sys.getrefcount(None)
    for _ in range(CALLS):
        call()
    return sys.getrefcount(None) - before


def test_a_loss_is_seen() -> None:
    drop, add = ctypes.pythonapi.Py_DecRef, ctypes.pythonapi.Py_IncRef
    nothing = ctypes.py_object(None)
    before = sys.getrefcount(None)
    for _ in range(CALLS):
        drop(nothing)
    lost = sys.getrefcount(None) - before
    for _ in range(CALLS):
        add(nothing)
    assert lost < -NOISE


def test_no_call_loses_a_reference_to_none(qtbot: QtBot) -> None:
    label, button, sender = QLabel(), QPushButton(), Sender()
    qtbot.addWidget(label)
    qtbot.addWidget(button)
    button.clicked.connect(lambda: None)
    sender.said.connect(lambda value: None)
    calls: dict[str, Callable[[], object]] = {
        "QLabel.setText": lambda: label.setText("x"),
        "QLabel.setBuddy": lambda: label.setBuddy(button),
        "QPushButton.click": button.click,
        "Signal.emit": lambda: sender.said.emit(None),
    }
    assert {name: lost for name, call in calls.items() if (lost := gained(call)) < -NOISE} == {}
