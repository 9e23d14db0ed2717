"""Reads the switches: any key or mouse button; held long enough, and not a repeat of the press before."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QKeySequence, QMouseEvent
from PySide6.QtWidgets import QApplication

from carelog.text import mark, say

KEY, BUTTON, CODE = "key", "button", "code"
RESUME = 3000  # ms that the switch is held to go on with a scan that was stopped
_TYPES = QEvent.Type
DOWN = frozenset({_TYPES.KeyPress, _TYPES.MouseButtonPress, _TYPES.MouseButtonDblClick})
UP = frozenset({_TYPES.KeyRelease, _TYPES.MouseButtonRelease})
BUTTONS = (
    (Qt.MouseButton.LeftButton, mark("the left mouse button")),
    (Qt.MouseButton.RightButton, mark("the right mouse button")),
    (Qt.MouseButton.MiddleButton, mark("the middle mouse button")),
)


def switch_of(event: QEvent) -> str:
    """The key or mouse button of an event, as the settings keep it; a key without a name by its code."""
    if isinstance(event, QKeyEvent):
        if event.key() in (0, Qt.Key.Key_unknown):
            return f"{CODE} {event.nativeScanCode()}"
        return f"{KEY} {int(event.key())}"
    if isinstance(event, QMouseEvent):
        return f"{BUTTON} {event.button().value}"
    return ""


def switch_words(switch: str) -> str:
    """A switch as people know it."""
    sort, _, number = switch.partition(" ")
    if not number.isdigit():
        return say("none")
    if sort == KEY:
        name = QKeySequence(int(number)).toString(QKeySequence.SequenceFormat.NativeText)
        return say("the key {key}").format(key=name or number)
    for button, words in BUTTONS if sort == BUTTON else ():
        if button.value == int(number):
            return say(words)
    return say("key or button number {number}").format(number=number)


@dataclass(frozen=True, slots=True)
class Manner:
    """How the switches are used; times in ms."""

    switch: str
    second: str = ""
    hold: int = 0
    bounce: int = 0


class SwitchReader(QObject):
    """Takes the switches' own events out of the stream, wherever they go, and tells what counts."""

    def __init__(self, clock: Callable[[], int]) -> None:
        """`clock` gives a time in ms that only goes on."""
        super().__init__()
        self._clock = clock
        self._manner = Manner("")
        self._held = ""
        self._free_from = 0
        self._is_stopped = False
        self.when_chosen: Callable[[], object] = lambda: None
        self.when_moved: Callable[[], object] = lambda: None
        self.when_held: Callable[[bool], object] = lambda _is_held: None
        self.when_resumed: Callable[[], object] = lambda: None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._accept)

    def read(self, manner: Manner) -> None:
        """Read these switches from now on."""
        self._manner = manner
        self._forget()

    def set_stopped(self, is_stopped: bool) -> None:
        """Let the switches do what they usually do; only one that is held long goes on with the scan."""
        self._is_stopped = is_stopped
        self._forget()

    def rest(self, milliseconds: int) -> None:
        """Count no press for so long."""
        self._free_from = max(self._free_from, self._clock() + milliseconds)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        kind = event.type()
        if kind not in DOWN and kind not in UP:
            return False
        switch = switch_of(event)
        if switch not in (self._manner.switch, self._manner.second) or not switch:
            return False
        if QApplication.activeModalWidget() is not None:
            return False  # a dialog of the system's own
        if isinstance(event, QKeyEvent) and event.isAutoRepeat():
            return not self._is_stopped
        if kind in DOWN:
            self._go_down(switch)
        else:
            self._go_up(switch)
        return not self._is_stopped

    def _go_down(self, switch: str) -> None:
        if self._held or self._clock() < self._free_from:
            return
        self._held = switch
        if self._is_stopped:
            self._timer.start(RESUME)
        elif self._manner.hold:
            self.when_held(True)
            self._timer.start(self._manner.hold)
        else:
            self._accept()

    def _go_up(self, switch: str) -> None:
        if switch != self._held:
            return
        self._forget()
        self.rest(self._manner.bounce)

    def _forget(self) -> None:
        was_waiting = self._timer.isActive()
        self._held = ""
        self._timer.stop()
        if was_waiting and not self._is_stopped:
            self.when_held(False)

    def _accept(self) -> None:
        switch = self._held
        if self._is_stopped:
            self.when_resumed()
        elif switch == self._manner.switch:
            self.when_chosen()
        else:
            self.when_moved()
