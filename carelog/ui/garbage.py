"""When the program looks for garbage: not while it starts, and never among what the start has made."""

import gc

from carelog.ui.desk import Desk, Stage


class Garbage:
    """Nothing of what is imported, built and read at the start ever becomes garbage.

    Looking for some there costs an eighth of the start, and later halts a press for tens of milliseconds.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._reached: object = None
        desk.when_changed.append(self._on_change)

    def _on_change(self) -> None:
        """Once the record is open or isn't to be had, and again once its flags are read."""
        reached = self._desk.stage, self._desk.flags is not None
        if self._desk.stage is not Stage.OPENING and reached != self._reached:
            self._reached = reached
            gc.freeze()
            gc.enable()
