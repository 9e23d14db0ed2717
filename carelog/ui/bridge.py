"""Carries what other threads found out to the widgets: one call each, in the window's own thread."""

from collections.abc import Callable

from PySide6.QtCore import QObject, Qt, Signal


class Bridge(QObject):
    """Runs calls in the thread in which it was made."""

    _called = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._is_ended = False
        self._called.connect(self._run, Qt.ConnectionType.QueuedConnection)

    def call(self, job: Callable[[], None]) -> None:
        """Do this in the window's thread, in the order of asking; may be called from any thread."""
        if not self._is_ended:
            self._called.emit(job)

    def end(self) -> None:
        """The window is gone: what other threads still find out reaches nobody."""
        self._is_ended = True

    def _run(self, job: Callable[[], None]) -> None:
        job()
