"""When the program looks for garbage: not while it starts and reads, and never among what that has made."""

import gc

from carelog.ui.access import Stage
from carelog.ui.present import Present

SELDOM = 100
"""So many smaller looks between two through all there is; Python's own number is 10."""


class Garbage:
    """Nothing of what is imported, built and read at the start ever becomes garbage.

    Looking for some there costs an eighth of the start, and halts the window for tenths of a second while a
    long record is read for its flags. A look through all that jobs beside the window made since halts every
    thread too: 60 ms for what ten years are read into, a quarter of a second on an old laptop.
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
        gc.set_threshold(*gc.get_threshold()[:2], SELDOM)
        gc.enable()
