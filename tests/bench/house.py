"""The program's window in this process, on a record with a long history, its flags read."""

import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from PySide6.QtWidgets import QApplication

from carelog.commands.surroundings import real_surroundings
from carelog.commands.window import parts
from carelog.paths import Places
from carelog.ui.access import Stage
from carelog.ui.application import build, furnish
from carelog.ui.rest import Rest
from carelog.ui.window import Window

PATIENCE = 600.0  # s; the first reading of ten years for their flags


@dataclass(frozen=True, slots=True)
class Shown:
    """A window and what stands behind it."""

    app: QApplication
    window: Window
    rest: Rest

    def wait(self, asked: Callable[[], bool], patience: float = PATIENCE) -> None:
        """Work off events until something is so."""
        last = time.monotonic() + patience
        while not asked():
            self.app.processEvents()
            if time.monotonic() > last:
                raise TimeoutError

    def come_to_rest(self) -> None:
        """Wait until the day's copy is made and tried and the file is checked: once a day, or a start."""
        self.window.tick()
        access = self.window.desk.access
        for worker in (access.writer, access.reader, access.copier, access.patient):
            done = list[None]()
            worker.ask(lambda: None, done.append, print)
            self.wait(partial(bool, done))

    def close(self) -> None:
        """Close the window."""
        self.window.close()
        self.app.processEvents()


def shown(app: QApplication, record: Path) -> Shown:
    """A window on a record, opened as the program opens it."""
    folder = record.parent / f"{record.stem}-home"
    places = Places(folder / "data", folder / "config", folder / "state")
    places.make()
    window = build(parts(record, real_surroundings()._replace(places=places)), app)
    window.resize(1100, 700)
    window.show()
    found = Shown(app, window, furnish(window))
    desk = window.desk
    found.wait(lambda: desk.access.stage is Stage.OPEN and desk.present.flags is not None)
    return found
