"""What nobody expected, shown: one plain sentence, whatever is open stays; Qt's own messages into the log."""

from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler

from carelog.app.faults import FaultLog, watch
from carelog.ui.band import Band
from carelog.ui.bridge import Bridge

HARMLESS = ("This plugin does not support",)


class QtMessage(Exception):
    """A warning of Qt's; its text stays out of the log, since it may hold what was typed."""


def catch(log: FaultLog, bridge: Bridge, band: Band) -> None:
    """From now on nothing unexpected goes unseen; called once, after the first paint."""
    watch(log, lambda sentence: bridge.call(lambda: band.say(sentence)))

    def on_message(kind: QtMsgType, _context: QMessageLogContext, text: str) -> None:
        if kind != QtMsgType.QtDebugMsg and not text.startswith(HARMLESS):
            log.note(QtMessage())

    qInstallMessageHandler(on_message)
