"""When the program looks for garbage: not while it starts and reads, and never among what that has made."""

import gc

from carelog.ui.desk import Desk, Stage


class Garbage:
    """Nothing of what is imported, built and read at the start ever becomes garbage.

    Looking for some there costs an eighth of the start, and halts the window for tenths of a second while a
    long record is read for its flags.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._is_on = False
        desk.when_changed.append(self._on_change)

    def _on_change(self) -> None:
        """Once the flags are read, or can't be."""
        desk = self._desk
        is_reading = desk.stage is Stage.OPEN and desk.flags is None and not desk.trouble
        if self._is_on or is_reading or desk.stage is Stage.OPENING:
            return
        self._is_on = True
        gc.freeze()
        gc.enable()
