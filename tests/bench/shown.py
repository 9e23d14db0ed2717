"""The program's own window in a process of its own, measured from outside as its floors are.

usage: python -m tests.bench.shown start|idle|flags RECORD [--seconds 5]
Everything is started as `carelog --record RECORD` starts it. Prints one line of JSON.
"""

# ruff: noqa: E402
import argparse
import gc
import sys
from resource import RUSAGE_SELF, getrusage
from typing import Any

gc.disable()  # as the command does before it imports anything of the window; it is the one that enables it

import carelog.ui  # noqa: F401  # before Qt, as the command does: Qt makes each later import dearer

# isort: split
from PySide6 import QtCore
from PySide6.QtCore import QTimer

from tests.bench.floor import leave, peak, processor, resident, settle_then_watch, since_start

UNWANTED = ("reportlab", "PIL", "numpy", "pandas", "matplotlib")


def start(record: str, seconds: float, what: str) -> None:
    """Start the window; tell when its board, then its dues, are painted, or what it takes at rest."""
    from carelog.main import main
    from carelog.ui import application

    found: dict[str, Any] = {}
    furnish = application.furnish

    def furnished(window: Any, *given: Any) -> Any:
        found["first"], found["used"], found["modules"] = since_start(), processor(), modules()
        found["names"] = "Qt" in vars(QtCore)
        house = furnish(window, *given)
        _when_shown(window, lambda: shown(window))
        return house

    def shown(window: Any) -> None:
        found["second"] = since_start()
        found["unwanted"] = [name for name in UNWANTED if name in sys.modules]
        if what == "flags":
            _when_quiet(window, lambda: leave(found | read(window)))
        elif what == "idle":
            _when_quiet(window, lambda: _when_copied(window, lambda: settle_then_watch(seconds)))
        else:
            _when_quiet(window, lambda: QTimer.singleShot(round(seconds * 1000), lambda: end(window)))

    def read(window: Any) -> dict[str, Any]:
        used = getrusage(RUSAGE_SELF)
        return {
            "flags": since_start(),
            "count": window.desk.present.picture.count,
            "processor": used.ru_utime + used.ru_stime,
            "peak": peak(),
        }

    def end(window: Any) -> None:
        found["resident"] = resident()
        window.close()
        leave(found)

    application.furnish = furnished  # type: ignore[assignment]
    main(["--record", record])


def modules() -> list[str]:
    """The program's own modules that are loaded by now."""
    return sorted(name for name in sys.modules if name.split(".")[0] == "carelog")


def _when_shown(window: Any, then: Any) -> None:
    """Once the record is open and what the plan asks for is painted."""
    from carelog.ui.access import Stage

    if window.desk.access.stage is Stage.OPEN:
        window.repaint()
        then()
    else:
        QTimer.singleShot(1, lambda: _when_shown(window, then))


def _when_quiet(window: Any, then: Any) -> None:
    """Once the flags are read as well."""
    if window.desk.present.flags is not None:
        then()
    else:
        QTimer.singleShot(20, lambda: _when_quiet(window, then))


def _when_copied(window: Any, then: Any) -> None:
    """Once the day's copy is made and tried and the file checked: once a day, or a start, and not at rest."""
    desk = window.desk

    def nothing() -> None:
        pass

    window.tick()
    access = desk.access
    # The copier asks the patient one for its trial, which therefore comes last.
    workers = iter((access.writer, access.reader, access.copier, access.patient))

    def go_on(_: object) -> None:
        worker = next(workers, None)
        then() if worker is None else worker.ask(nothing, go_on, print)

    go_on(None)


def main() -> None:
    """Show the window."""
    parser = argparse.ArgumentParser()
    parser.add_argument("what", choices=("start", "idle", "flags"))
    parser.add_argument("record")
    parser.add_argument("--seconds", type=float, default=0.0)
    asked = parser.parse_args()
    start(asked.record, asked.seconds, asked.what)


if __name__ == "__main__":
    main()
