"""The window: rail, head, bands, one page at a time, foot; one timer of 30 s for all that time changes."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6 import QtCore
from PySide6.QtCore import QEvent, QObject, QRect, QSize, QTimer
from PySide6.QtGui import QCloseEvent, QGuiApplication, QKeyEvent, QPaintEvent
from PySide6.QtWidgets import QGridLayout, QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from carelog.app.settings import WindowPlace
from carelog.domain.instant import MINUTE
from carelog.text import say
from carelog.ui.board.page import Board
from carelog.ui.desk import Desk
from carelog.ui.foot import Foot
from carelog.ui.head import Head
from carelog.ui.pages import PAGES
from carelog.ui.preferences import Preferences
from carelog.ui.rail import Rail
from carelog.ui.slip import Slip
from carelog.ui.stops import reach, step, stops
from carelog.ui.theme import STEP, Theme

if TYPE_CHECKING:
    from carelog.domain.entry import Details

TICK = 30_000  # ms
SETTLED, ATTEMPTS = 60, 5  # ms in which everything has taken its place, and how often it is awaited
PRESSING = ("board", "since")
"""The pages on which a tile's key presses it."""
MOST_BEFORE = 50  # pages
UNPAINTED = 1000  # ms; a window that starts minimized is never painted
MOST_PIXELS = 1 << 20  # further away than any screen lies
PageMaker = Callable[[], QWidget]


class Stack(QStackedWidget):
    """One page at a time; pages scroll, so none of them makes the window higher."""

    def hasHeightForWidth(self) -> bool:
        return False

    def minimumSizeHint(self) -> QSize:
        return QSize(320, 120)


class SteadySize(QObject):
    """While letters change, some parts ask for more room than they need afterwards."""

    def __init__(self, window: QMainWindow, theme: Theme) -> None:
        super().__init__(window)
        self._window = window
        self._size: QSize | None = None
        self._left = 0
        theme.when_resizing.append(self.hold)

    def hold(self) -> None:
        """Keep the size that the window has now, before its letters change."""
        if self._size is None:
            self._size, self._left = self._window.size(), ATTEMPTS
            QTimer.singleShot(SETTLED, self, self._take_back)

    def _take_back(self) -> None:
        size, self._left = self._size, self._left - 1
        if size is not None and not self._window.isMaximized():
            self._window.resize(size)
        if size is None or self._window.size() == size or not self._left:
            self._size = None
            return
        QTimer.singleShot(SETTLED, self, self._take_back)  # a part still asks for more


class Window(QMainWindow):
    """One person's record; pages other than the board are made when they are first opened."""

    is_filled = False
    """Whether the page that is open has all of the screen."""

    def __init__(self, desk: Desk, theme: Theme, preferences: Preferences) -> None:
        super().__init__()
        self.setWindowTitle("carelog")
        self.setObjectName("window")
        self.desk = desk
        self.theme = theme
        self.preferences = preferences
        self.when_ticked: list[Callable[[], None]] = []
        self.when_timed: list[Callable[[], None]] = []
        """Each 30 s, also within a minute: what counts seconds."""
        self.when_closed: list[Callable[[], None]] = []
        self.when_left: list[Callable[[], None]] = []
        self.does: dict[str, Callable[[], None]] = {}
        self.open_form: Callable[[str, Details | None], None] = lambda _kind, _given: None
        self.complete: Callable[[Slip], None] = lambda _slip: None
        self.holds_back: Callable[[str], str] = lambda name: name
        """The page that is shown when one is asked for: another while reading is locked."""
        self._makers: dict[str, PageMaker] = {}
        self._pages: dict[str, QWidget] = {}
        self._before: list[str] = []
        self.head = Head(desk.access, desk.present, desk.recorder, self.go)
        self.tell_meaning: Callable[[QWidget | None], None] = lambda _asked: None
        """Tell what the trade words of a widget mean."""
        self.rail = Rail(desk.present, self.go)
        self.board = self._new_board()
        self._lay_out()
        self.add_page("board", self.board)
        self.rail.show_open("board")
        self._place()
        desk.present.when_changed.append(self._show_person)
        preferences.when_changed.append(self._show_person)
        self._steady = SteadySize(self, theme)
        self._minute = 0
        self._then: Callable[[], object] | None = None
        self._timer = self._new_timer()

    def _new_timer(self) -> QTimer:
        timer = QTimer(self)
        timer.setInterval(TICK)
        timer.timeout.connect(self._on_timer)
        timer.start()
        return timer

    def _new_board(self) -> Board:
        desk = self.desk
        return Board(
            desk.present,
            desk.slips,
            self.preferences.now.tiles,
            lambda kind: self.open_form(kind, None),
            lambda slip: self.complete(slip),
            self.do,
        )

    def _lay_out(self) -> None:
        self.bands, self.below = QVBoxLayout(), QVBoxLayout()
        self.stack, self.foot = Stack(), Foot()
        body = self.body = QWidget()
        layout = QGridLayout(body)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        column = QVBoxLayout()
        layout.addLayout(column, 0, 1)
        column.setSpacing(STEP // 2)
        column.addWidget(self.head)
        column.addLayout(self.bands)
        column.addWidget(self.stack, 1)
        column.addLayout(self.below)
        column.addWidget(self.foot)
        layout.addWidget(self.rail, 0, 0)  # after the column, and so after it in the order of Tab
        layout.setColumnStretch(1, 1)
        self.setCentralWidget(body)

    def _place(self) -> None:
        """Where the window was, if that screen still exists; else in the middle of the first one."""
        place = self.preferences.now.window
        screens = [screen.availableGeometry() for screen in QGuiApplication.screens()]
        is_known = all(abs(each) < MOST_PIXELS for each in (place.x, place.y, place.width, place.height))
        place = place if is_known and place.width > 0 and place.height > 0 else WindowPlace()
        wanted = QRect(place.x, place.y, place.width, place.height)
        here = next((area for area in screens if area.contains(wanted.center())), None)
        if here is None or not is_known:
            least = wanted.size().expandedTo(self.minimumSizeHint())
            wanted.setSize(least.boundedTo(screens[0].size()))
            wanted.moveCenter(screens[0].center())
            self.setGeometry(wanted)
        else:
            self.setGeometry(wanted.intersected(here))
        # How wide the rail is follows from its height: told before, the tiles are not arranged anew.
        self.rail.resize(self.rail.sizeHint().width(), self.height())
        self.board.expect(self.width() - self.rail.sizeHint().width())
        if place.is_maximized:
            self.showMaximized()

    def place(self) -> WindowPlace:
        """Where the window is."""
        area = self.normalGeometry()
        return WindowPlace(area.x(), area.y(), area.width(), area.height(), self.isMaximized())

    def _show_person(self) -> None:
        picture = self.desk.present.picture
        name = "" if picture is None or self.preferences.now.hides_name else picture.person.name
        title = say("carelog: {person}").format(person=name) if name else "carelog"
        page = next((say(each.words) for each in PAGES if each.name == self.page()), "")
        self.setWindowTitle(say("{page} – {window}").format(page=page, window=title) if page else title)

    # Pages ----------------------------------------------------------------------------------------

    def offer(self, name: str, maker: PageMaker) -> None:
        """A page that is made when it is first opened."""
        self._makers[name] = maker

    def add_page(self, name: str, page: QWidget) -> None:
        """A page that is there from the start."""
        page.setObjectName(name)
        self._pages[name] = page
        self.stack.addWidget(page)

    def drop_page(self, name: str) -> None:
        """A page that is made anew when it is opened next."""
        page = self._pages.pop(name, None)
        if page is not None:
            self.stack.removeWidget(page)
            page.deleteLater()

    def go(self, name: str) -> None:
        """Open a page."""
        self.show_page(name)

    def show_page(self, name: str) -> QWidget | None:
        """Open a page, and give the one that is shown; None: there is none of that name."""
        name = self.holds_back(name)
        is_known = name in self._pages or name in self._makers
        if name != self.page() and is_known and self.isVisible() and not self.isMinimized():
            self.desk.access.turn.take()
        if name not in self._pages and name in self._makers:
            self.add_page(name, self._makers[name]())
        page = self._pages.get(name)
        if page is None:
            return None
        is_another = self.page() != name
        if is_another:
            self._before = [*self._before, self.page()][-MOST_BEFORE:]
        self.stack.setCurrentWidget(page)
        self.rail.show_open(name)
        self._show_person()
        opened = getattr(page, "opened", None)
        if callable(opened):
            opened()
        for listener in self.when_left:
            listener()
        self._reach_into(page, is_another=is_another)
        return page

    def _reach_into(self, page: QWidget, *, is_another: bool) -> None:
        """The keys go on in the page that was opened, not in the one that was left."""
        focused = self.focusWidget()
        # A field of a half-filled form that waits behind the one that is shown is in the page, but not seen.
        is_within = focused not in (None, page) and page.isAncestorOf(focused) and focused.isVisible()
        first: QWidget | None
        if isinstance(page, Board):  # Qt may have gone on to a tile, which a second Return would press
            first, is_within = page.landing, is_within and not is_another
        else:
            first = next(stops(page), None)
        if first is not None and not is_within:
            reach(first, QtCore.Qt.FocusReason.OtherFocusReason)

    def focusNextPrevChild(self, is_forward: bool) -> bool:
        body = self.centralWidget()
        if body is not None and step(body, self.focusWidget(), is_forward=is_forward):
            return True
        return super().focusNextPrevChild(is_forward)

    def go_back(self) -> None:
        """The page before; a form that was saved meanwhile and a cover are none."""
        while self._before:
            name = self._before.pop()
            if name in self._pages and name not in ("form", "cover", self.page()):
                self.go(name)
                self._before.pop()
                return

    def page(self) -> str:
        """The name of the page that is open."""
        page = self.stack.currentWidget()
        return page.objectName() if page else ""

    def fill_screen(self, is_filled: bool) -> None:
        """The page alone over the whole screen, with the emergency page's button; or the window as it was."""
        if is_filled == self.is_filled:
            return
        self.is_filled = is_filled
        self.rail.setVisible(not is_filled)
        self.head.set_covered(is_filled)
        for listener in self.when_left:
            listener()
        whole = QtCore.Qt.WindowState.WindowFullScreen
        self.setWindowState(self.windowState() | whole if is_filled else self.windowState() & ~whole)

    # Time and keys --------------------------------------------------------------------------------

    def once_painted(self, then: Callable[[], object]) -> None:
        """Do this when the board has been painted for the first time; soon, if nothing is ever painted."""
        self._then = then
        QTimer.singleShot(UNPAINTED, self._do_then)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        turn = self.desk.access.turn
        QTimer.singleShot(0, partial(turn.give_back, turn.taken))
        if self._then is not None:
            QTimer.singleShot(0, self._do_then)

    def _do_then(self) -> None:
        then, self._then = self._then, None
        if then is not None:
            then()

    def _on_timer(self) -> None:
        """Each 30 s: within a minute time alone changes no words; whatever else it does a look tells."""
        if self.desk.access.is_open() and self.desk.present.now() // MINUTE == self._minute:
            self.desk.present.look_again()
            for listener in self.when_timed:
                listener()
        else:
            self.tick()

    def tick(self) -> None:
        """All that time changes, worked out anew; called each 30 s and when the window wakes."""
        self._minute = self.desk.present.now() // MINUTE
        if self.desk.access.is_open():
            self.desk.present.look()
        self.head.refresh()
        self.board.receipt.refresh()
        for listener in (*self.when_timed, *self.when_ticked):
            listener()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_timer"):
            self._steady.hold()
        if event.type() == QEvent.Type.ActivationChange and self.isActiveWindow() and hasattr(self, "_timer"):
            self.tick()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.isAutoRepeat() or not self._press_key(event):
            super().keyPressEvent(event)

    def _press_key(self, event: QKeyEvent) -> bool:
        from PySide6.QtGui import QKeySequence

        from carelog.ui.keys import TILE_KEYS, does_by_key

        does = does_by_key().get(QKeySequence(event.keyCombination()).toString())
        if does is not None:
            return self.do(does)
        number = TILE_KEYS.find(event.text()) + 1 if event.text() else 0
        is_plain = _is_plain(event) and self.preferences.now.has_tile_keys
        if self.page() in PRESSING and number > 0 and is_plain:
            return self.press_tile(number, event.timestamp())
        press_key = getattr(self.stack.currentWidget(), "press_key", None) if is_plain else None
        return press_key is not None and bool(event.text()) and press_key(event.text(), event.timestamp())

    def do(self, does: str) -> bool:
        """Do what a key stands for, or open the page of that name; False when nothing answers to it."""
        if does in self.does:
            self.does[does]()
            return True
        if does in self._makers or does in self._pages:
            self.go(does)
            return True
        return False

    def press_tile(self, number: int, stamp: int | None = None) -> bool:
        """Press one of the board's tiles, by its place from 1; the board and its receipt are shown."""
        if self.page() != "board" and number <= len(self.board.placed):
            self.go("board")
        return self.board.press_number(number, stamp)

    def closeEvent(self, event: QCloseEvent) -> None:
        for listener in self.when_closed:
            listener()
        self._timer.stop()
        self.desk.access.close()
        super().closeEvent(event)


def _is_plain(event: QKeyEvent) -> bool:
    """A digit may need Shift; with any other of these keys it is another key."""
    held = QtCore.Qt.KeyboardModifier
    return not event.modifiers() & ~(held.ShiftModifier | held.KeypadModifier)
