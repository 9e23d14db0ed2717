"""Carries what other threads found out to the widgets: one call each, in the window's own thread."""

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, QEvent, QObject


class _Call(QEvent):
    """A call on its way."""

    def __init__(self, job: Callable[[], None]) -> None:
        super().__init__(QEvent.Type.User)
        self.job = job


class Bridge(QObject):
    """Runs calls in the thread in which it was made."""

    def __init__(self) -> None:
        super().__init__()
        self._is_ended = False

    def call(self, job: Callable[[], None]) -> None:
        """Do this in the window's thread, in the order of asking; may be called from any thread."""
        if not self._is_ended:
            QCoreApplication.postEvent(self, _Call(job))

    def end(self) -> None:
        """The window is gone: what other threads still find out reaches nobody."""
        self._is_ended = True

    def customEvent(self, event: QEvent) -> None:
        if isinstance(event, _Call) and not self._is_ended:  # it may have been on its way by then
            event.job()
