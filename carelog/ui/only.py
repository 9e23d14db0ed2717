"""One window a record: a second start raises the first one and ends."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtNetwork import QLocalServer, QLocalSocket

from carelog.paths import key_of

WAIT = 1000  # ms


def ask_to_show(record: Path) -> bool:
    """Ask the window that has the record open to come to the front; False when none answers."""
    socket = QLocalSocket()
    socket.connectToServer(_name(record))
    if not socket.waitForConnected(WAIT):
        return False
    socket.write(b"show\n")
    socket.waitForBytesWritten(WAIT)
    socket.disconnectFromServer()
    return True


class Doorbell:
    """Listens for second starts; a name in this user's own runtime folder, never the network."""

    def __init__(self, record: Path, show: Callable[[], None]) -> None:
        self._server = QLocalServer()
        self._server.setSocketOptions(QLocalServer.SocketOption.UserAccessOption)
        self._show = show
        name = _name(record)
        QLocalServer.removeServer(name)
        self._server.newConnection.connect(self._on_ring)
        self._server.listen(name)

    def _on_ring(self) -> None:
        while (caller := self._server.nextPendingConnection()) is not None:
            caller.disconnectFromServer()
            self._show()

    def close(self) -> None:
        """Stop listening."""
        self._server.close()


def _name(record: Path) -> str:
    return f"carelog-{key_of(record)}"
