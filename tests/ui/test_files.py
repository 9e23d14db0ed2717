"""Asking for a file: Qt's own dialog has buttons that can be hit too."""

import pytest
from PySide6.QtWidgets import QAbstractButton, QFileDialog

from carelog.ui.files import READ, WRITE, dialog
from carelog.ui.theme import TARGET
from tests.ui.conftest import Opened


@pytest.mark.parametrize("mode", [READ, WRITE])
def test_every_button_of_the_dialog_is_large_enough(opened: Opened, mode: QFileDialog.AcceptMode) -> None:
    asked = dialog(opened.window, "Save the sheet", "*.pdf", mode)
    asked.setOption(QFileDialog.Option.DontUseNativeDialog)
    asked.show()
    opened.come_to_rest()
    buttons = [each for each in asked.findChildren(QAbstractButton) if each.isVisible()]
    assert len(buttons) >= 2
    for each in buttons:
        assert min(each.width(), each.height()) >= TARGET, each.text()
    asked.close()
