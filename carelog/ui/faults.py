"""What nobody expected, shown: one plain sentence, whatever is open stays; Qt's own messages into the log."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler

from carelog.app.faults import FaultLog, watch

if TYPE_CHECKING:
    from carelog.ui.band import Band
    from carelog.ui.desk import Desk

HARMLESS = ("This plugin does not support",)


class QtMessage(Exception):
    """A warning of Qt's; its text stays out of the log, since it may hold what was typed."""


def catch(desk: "Desk", band: "Band") -> None:
    """From now on nothing unexpected goes unseen; called once, after the first paint."""
    log = FaultLog(desk.parts.places.log, desk.parts.clock)
    watch(log, lambda sentence: desk.bridge.call(lambda: band.say(sentence)))

    def on_message(kind: QtMsgType, _context: QMessageLogContext, text: str) -> None:
        if kind != QtMsgType.QtDebugMsg and not text.startswith(HARMLESS):
            log.note(QtMessage())

    qInstallMessageHandler(on_message)
