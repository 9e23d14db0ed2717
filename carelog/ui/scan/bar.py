"""The line below the page while a scan runs: where it is, Undo after a save, calling, and how to stop it."""

from collections.abc import Callable

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from carelog.text import say
from carelog.ui.button import Button, Strong
from carelog.ui.theme import LARGE, STEP, Size, percent_now
from carelog.ui.words import Words


class ScanBar(QWidget):
    """Words for whoever stands beside, and buttons that the scan reaches too."""

    is_group = True

    def __init__(
        self, undo: Callable[[], object], call: Callable[[], object], pressed: Callable[[], object]
    ) -> None:
        """`call` somebody; `pressed`: stop the scan, or go on with it."""
        super().__init__()
        self.setObjectName("scan_bar")
        self.setAccessibleName(say("The scan"))
        self._words = Words("", Size.STRONG, wraps=False)
        self._words.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.undo = Strong.calling("", "scan_undo", undo)
        self.undo.hide()
        self._has_undo, self._has_call = False, True
        self.call = Button.calling(say("call somebody"), "scan_call", call)
        self.button = Button.calling(say("Stop scanning"), "scan_stop", pressed)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        layout.addWidget(self._words, 1)
        layout.addWidget(self.undo)
        layout.addWidget(self.call)
        layout.addWidget(self.button)
        self._fit()

    def say(self, words: str) -> None:
        """Say where the scan is."""
        self._words.say(words)
        self.setAccessibleDescription(words)

    def offer_undo(self, words: str) -> None:
        """Offer to take back what was just saved on another page than the board; empty: nothing."""
        self.undo.setText(words)
        self._has_undo = bool(words)
        self._show_buttons()

    def offer_call(self, is_offered: bool) -> None:
        """Offer to call somebody, on pages that don't do so themselves."""
        self._has_call = is_offered
        self._show_buttons()

    def _show_buttons(self) -> None:
        """In large letters Undo takes the place of calling: a window would grow to hold both."""
        has_room = not self._has_undo or percent_now() < LARGE
        shown = ((self.undo, self._has_undo), (self.call, self._has_call and has_room))
        for button, is_shown in sorted(shown, key=lambda each: each[1]):  # what goes makes room first
            if button.isHidden() is is_shown:  # to show what is shown lays the window out at once
                button.setVisible(is_shown)

    def show_stopped(self, is_stopped: bool) -> None:
        """Say whether the scan runs."""
        self.button.setText(say("Scan again") if is_stopped else say("Stop scanning"))
        if is_stopped:
            self.say(say("Scanning is stopped. F7 goes on, or hold the switch for 3 seconds."))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def _fit(self) -> None:
        """In large letters the words give way to the page: the ring's shape says the same."""
        self._words.setVisible(percent_now() < LARGE)
        self._show_buttons()
