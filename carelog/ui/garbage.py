"""When the program looks for garbage: not while it starts and reads, and never among what that has made."""

import gc

from carelog.ui.access import Stage
from carelog.ui.present import Present


class Garbage:
    """Nothing of what is imported, built and read at the start ever becomes garbage.

    Looking for some there costs an eighth of the start, and halts the window for tenths of a second while a
    long record is read for its flags.
    """

    def __init__(self, present: Present) -> None:
        self._present = present
        self._is_on = False
        present.when_changed.append(self._on_change)

    def _on_change(self) -> None:
        """Once the flags are read, or can't be."""
        present = self._present
        is_reading = present.stage is Stage.OPEN and present.flags is None and not present.trouble
        if self._is_on or is_reading or present.stage is Stage.OPENING:
            return
        self._is_on = True
        gc.freeze()
        gc.enable()
