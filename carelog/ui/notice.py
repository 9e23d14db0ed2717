"""The sound and the desktop's notice, where this computer has them."""

from PySide6.QtWidgets import QApplication, QSystemTrayIcon, QWidget

from carelog.text import say


class Notice:
    """The system's bell, the task bar's mark, and a notice from the tray."""

    def __init__(self, window: QWidget) -> None:
        self._window = window
        self._tray: QSystemTrayIcon | None = None
        self.has_sound = True

    def ring(self, words: str) -> None:
        """Sound if wanted, mark the task bar, and show the words where the desktop shows notices."""
        if self.has_sound:
            QApplication.beep()
        QApplication.alert(self._window)
        if self._window.isActiveWindow() or not QSystemTrayIcon.isSystemTrayAvailable():
            return
        if self._tray is None:
            self._tray = QSystemTrayIcon(self._window.windowIcon(), self._window)
            self._tray.show()
        # What is due is health: the notice says only that the window has something to say.
        self._tray.showMessage("carelog", say("Something is due. Open the window."))
