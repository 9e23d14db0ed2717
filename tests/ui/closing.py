"""The program's own window in a process of its own, closed while a sheet is being made.

usage: python -m tests.ui.closing RECORD
"""

import sys
import threading
from importlib import import_module
from typing import Any

from PySide6.QtCore import QTimer


def main(record: str) -> None:
    """Open the sheet's page and close the window as soon as the sheet is begun; say what was going on."""
    from carelog.main import main as run

    composed: Any = import_module("carelog.commands.window")
    application: Any = import_module("carelog.ui.application")
    begun = threading.Event()
    composed._sheets = lambda: Begun(begun)
    furnish = application.furnish

    def furnished(window: Any, *given: Any) -> Any:
        house = furnish(window, *given)
        when(window.desk.access.is_open, lambda: window.go("sheet"))
        when(begun.is_set, lambda: end(window))
        return house

    def end(window: Any) -> None:
        window.close()
        left = [thread.name for thread in threading.enumerate() if thread.name == "press"]
        print("begun", "left" if left else "ended")

    application.furnish = furnished
    sys.exit(run(["--record", record]))


class Begun:
    """Real sheets that tell when the first one is begun, and go on until they are stopped."""

    def __init__(self, begun: threading.Event) -> None:
        self._begun = begun

    def offered(self) -> Any:
        """Every sheet there is."""
        from carelog.sheet import PaperSheets

        return PaperSheets().offered()

    def days(self, request: Any) -> Any:
        """The days that a sheet tells of."""
        from carelog.sheet import PaperSheets

        return PaperSheets().days(request)

    def make(self, request: Any, entries: Any, name: str = "", **given: Any) -> bytes:
        """Make the sheet over and over."""
        from carelog.sheet import PaperSheets

        self._begun.set()
        while True:
            PaperSheets().make(request, entries, name, **given)


def when(asked: Any, then: Any) -> None:
    """Once something is so."""
    if asked():
        then()
    else:
        QTimer.singleShot(1, lambda: when(asked, then))


if __name__ == "__main__":
    main(sys.argv[1])
