"""One switch or two for the whole window: a ring goes from stop to stop, the switch chooses.

It acts on a press alone: however long it runs by itself, nothing is saved, opened or changed. After a save
it stands at the quick choices of what was saved, one step before Undo; on another page than the board, Undo
stands in the bar, one step away as well.
"""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QRect, QTimer
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QAbstractButton, QApplication, QLineEdit, QPlainTextEdit, QScrollArea
from shiboken6 import isValid

from carelog.app.settings import Settings
from carelog.text import say
from carelog.ui.announce import announce
from carelog.ui.forms.control import Control
from carelog.ui.scan.bar import ScanBar
from carelog.ui.scan.chain import tree
from carelog.ui.scan.pad import ScanPad
from carelog.ui.scan.ring import RingShape, ScanRing
from carelog.ui.scan.stop import Deed, Stop
from carelog.ui.scan.switch import Manner, SwitchReader
from carelog.ui.scan.walk import Node, Walk
from carelog.ui.slip import State
from carelog.ui.slips import Slips
from carelog.ui.window import Window

BOARD, CARDS = "board", "cards"
WATCHED = 250  # ms; what is read from the record may take the place of what the ring is at
SETTLED = 80  # ms in which a page that was just opened has taken its shape


class Scanner(QObject):
    """Made when somebody first switches scanning on."""

    def __init__(self, window: Window, slips: Slips, clock: Callable[[], int]) -> None:
        super().__init__(window)
        app = QApplication.instance()
        assert app is not None
        self._app = app
        self._window = window
        self._slips = slips
        self._settings = Settings()
        self.is_running = False
        self.walk = Walk()
        self.pad: ScanPad | None = None
        self._saved: object = None
        self._ringed = ""
        self._bar = ScanBar(window.board.receipt.undo.click, lambda: window.do("call"), self.toggle)
        self._bar.hide()
        window.below.addWidget(self._bar)
        self._ring = ScanRing(window.body)
        self.reader = SwitchReader(clock)
        self.reader.when_chosen = self.choose
        self.reader.when_moved = self.step
        self.reader.when_held = self._on_held
        self.reader.when_resumed = self.toggle
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self.step)
        self._settling = QTimer(self)
        self._settling.setSingleShot(True)
        self._settling.setInterval(SETTLED)
        self._settling.timeout.connect(self._place)
        self._watch = QTimer(self)
        self._watch.setInterval(WATCHED)
        self._watch.timeout.connect(self._look)
        slips.when_changed.append(self._on_slips)
        window.stack.installEventFilter(self)
        window.stack.currentChanged.connect(self._on_page)

    # On and off -----------------------------------------------------------------------------------

    def follow(self, settings: Settings) -> None:
        """Scan as these settings say, or not at all."""
        was_on = self._settings.has_scanning
        self._settings = settings
        self.reader.read(
            Manner(settings.scan_switch, settings.scan_second, settings.scan_hold, settings.scan_bounce)
        )
        if settings.has_scanning == was_on:
            return
        self._bar.setVisible(settings.has_scanning)
        if settings.has_scanning:
            self._app.installEventFilter(self.reader)
            self._run(is_running=True)
        else:
            self.end()

    def end(self) -> None:
        """Read no switch any more."""
        self._app.removeEventFilter(self.reader)
        self._run(is_running=False)

    def toggle(self) -> None:
        """Stop the scan, or go on with it."""
        if self._settings.has_scanning:
            self._run(is_running=not self.is_running)

    def _run(self, *, is_running: bool) -> None:
        self.is_running = is_running
        self.reader.set_stopped(not is_running)
        self._bar.show_stopped(not is_running)
        self._saved = self._newest()
        if is_running:
            self._watch.start()
            self.begin()
        else:
            self._watch.stop()
            self._timer.stop()
            self._close_pad()
            self._ring.hide()

    # The ring's way -------------------------------------------------------------------------------

    def begin(self, at: int = 0) -> None:
        """Start at one of the outermost stops of what is shown now."""
        self.walk.begin(self._tree(), at)
        self._show()
        self._go_on(self._settings.scan_pause)

    def step(self) -> None:
        """Move the ring on; nothing is pressed by it."""
        if not self.is_running:
            return
        if self.walk.follow(self._tree()):
            self.walk.step(leaves=not self._settings.scan_second)
        self._show()
        self._go_on()

    def choose(self) -> None:
        """Press what the ring is at, go into its group or out of it; what nobody saw ringed isn't pressed."""
        self.walk.follow(self._tree())
        if self._words(self.walk.now) != self._ringed:
            self._show()
            self._go_on(self._settings.scan_pause)
            return
        stop = self.walk.choose()
        self.reader.rest(self._settings.scan_pause)
        if stop is not None:
            self._act(stop)
            return
        self._show()
        self._go_on(self._settings.scan_pause)

    def _act(self, stop: Stop) -> None:
        if not stop.is_there():
            self.begin()
            return
        before = self._window.page(), self.pad
        if stop.deed is Deed.TYPE:
            self._open_pad(stop)
        else:
            stop.press()
        if not self.is_running:  # it was “Stop scanning”
            return
        has_moved = before != (self._window.page(), self.pad) or self.pad is not None
        self.begin(0 if has_moved else self._outermost(stop))

    def _outermost(self, stop: Stop) -> int:
        """Where among the outermost stops it is, so that the scan goes on beside it."""
        members = self._tree().members
        return next((number for number, each in enumerate(members) if stop.name in each.names()), 0)

    def _go_on(self, pause: int = 0) -> None:
        """Move on by itself after the pause and the pace; a second switch moves instead."""
        if self.is_running and not self._settings.scan_second:
            self._timer.start(pause + self._settings.scan_pace)

    def _on_held(self, is_held: bool) -> None:
        """The ring waits while the switch is held, so that what is chosen is what was meant."""
        if is_held:
            self._timer.stop()
        else:
            self._go_on()

    def _tree(self) -> Node:
        field = self.pad.field if self.pad is not None else None
        if field is not None and not (isValid(field) and field.isVisible()):
            self._close_pad()
        if self._window.page() == BOARD:
            self._bar.offer_undo("")
        self._bar.offer_call(self._window.page() != CARDS)
        return tree(self._window, self._bar, self.pad)

    def _on_page(self) -> None:
        """Another page is open, whoever opened it."""
        if self.is_running:
            QTimer.singleShot(0, self, self._start_on_page)

    def _start_on_page(self) -> None:
        if not self.is_running:
            return
        self.walk.follow(self._tree())
        if self._words(self.walk.now) != self._ringed:
            self.begin()

    # After a save ---------------------------------------------------------------------------------

    def _newest(self) -> object:
        slip = self._slips.newest
        return None if slip is None else (id(slip), slip.state, len(slip.ids))

    def _on_slips(self) -> None:
        newest, slip = self._newest(), self._slips.newest
        if not self.is_running or newest == self._saved or slip is None:
            return
        if slip.state in (State.SAVED, State.UNDONE):
            self._saved = newest
            QTimer.singleShot(0, self, self._go_to_undo)

    def _go_to_undo(self) -> None:
        """Once what was saved is shown."""
        if not self.is_running:
            return
        receipt = self._window.board.receipt
        if self._window.page() != BOARD:
            self._bar.offer_undo(receipt.undo.accessibleName() if not receipt.undo.isHidden() else "")
            self.begin()
            return
        for number, member in enumerate(self._tree().members):
            if any(receipt.isAncestorOf(stop.widget) for stop in member.stops()):
                self.begin(number)
                return

    # Typing ---------------------------------------------------------------------------------------

    def _open_pad(self, stop: Stop) -> None:
        field = stop.widget
        assert isinstance(field, QLineEdit | QPlainTextEdit)
        self.pad = ScanPad(field, self._close_pad)
        self._window.below.insertWidget(0, self.pad)
        self.pad.show()
        self._lay_out()
        stop.show()

    def _close_pad(self) -> None:
        pad, self.pad = self.pad, None
        if pad is not None:
            self._window.below.removeWidget(pad)
            pad.hide()
            pad.deleteLater()
            self._lay_out()

    def _lay_out(self) -> None:
        """Have everything in its place before the ring is drawn there."""
        layout = self._window.body.layout()
        if layout is not None:
            layout.activate()

    # What is shown --------------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and self.is_running:
            self._settling.start()
        return super().eventFilter(watched, event)

    def _look(self) -> None:
        """Start anew where nothing is left of what the ring was at."""
        node = self.walk.now
        if node is not None and not any(stop.is_there() for stop in node.stops()):
            self.begin()

    def _show(self) -> None:
        focused = self._window.focusWidget()
        if isinstance(focused, QAbstractButton | QScrollArea):
            focused.clearFocus()  # two rings would say two things; who types goes on typing
        node = self.walk.now
        if node is None:
            self._ring.hide()
            return
        self._place()
        self._settling.start()
        self._ringed = self._words(node)
        self._bar.say(self._ringed)
        if QAccessible.isActive():
            announce(self._bar, self._ringed)

    def _place(self) -> None:
        node = self.walk.now
        if node is None or not self.is_running:
            self._ring.hide()
            return
        around = QRect()
        found = [stop for stop in node.stops() if stop.is_there()]
        for stop in (*found[-1:], *found[:1]):
            stop.show()
        for stop in found:
            around = around.united(stop.place(self._window.body))
        is_out = self.walk.is_at_way_out
        shape = RingShape.OUT if is_out else RingShape.PRESS if node.stop is not None else RingShape.GROUP
        self._ring.show_around(around, shape)

    def _words(self, node: Node | None) -> str:
        """What the switch would do now."""
        if node is None:
            return ""
        typed = f"{self.pad.words()} · " if self.pad is not None else ""
        if node.stop is not None:
            return typed + node.stop.words()
        words = group_words(list(node.stops()))
        told = say("Out of: {group}") if self.walk.is_at_way_out else say("Into: {group}")
        return typed + told.format(group=words)


def group_words(found: list[Stop]) -> str:
    """A group by its field's name, else by its first and last stop."""
    fields = {id(field): field for stop in found if (field := _field(stop)) is not None}
    if len(fields) == 1 and all(_field(stop) is not None for stop in found):
        name = next(iter(fields.values())).accessibleName()
        if name:
            return name
    first, last = found[0].words(), found[-1].words()
    return say("{first} … {last}").format(first=first, last=last) if first != last else first


def _field(stop: Stop) -> Control | None:
    parent = stop.widget.parentWidget()
    while parent is not None and not isinstance(parent, Control):
        parent = parent.parentWidget()
    return parent
