"""The window: head, urgent band, one page at a time, foot; one timer of 30 s for all that time changes."""

from collections.abc import Callable

from PySide6.QtCore import QSize, QTimer
from PySide6.QtGui import QCloseEvent, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.board.page import Board
from carelog.ui.desk import Desk
from carelog.ui.head import Head
from carelog.ui.keys import KEYS, TILE_KEYS
from carelog.ui.pages import Foot
from carelog.ui.theme import STEP, Theme

TICK = 30_000  # ms
PageMaker = Callable[[], QWidget]


class Stack(QStackedWidget):
    """One page at a time; pages scroll, so none of them makes the window higher."""

    def hasHeightForWidth(self) -> bool:
        return False

    def minimumSizeHint(self) -> QSize:
        return QSize(320, 160)


class Window(QMainWindow):
    """One person's record; pages other than the board are made when they are first opened."""

    def __init__(self, desk: Desk, theme: Theme) -> None:
        super().__init__()
        self.setWindowTitle("carelog")
        self.setObjectName("window")
        self.desk = desk
        self.theme = theme
        self._keys = {key.press: key.does for key in KEYS}
        self._makers: dict[str, PageMaker] = {}
        self._pages: dict[str, QWidget] = {}
        self.head = Head(desk, self.go)
        self.stack = Stack()
        self.foot = Foot(self.go)
        self.board = Board(desk, (), self.open_form, lambda _slip: None, self.go)
        self._lay_out()
        self._add("board", self.board)
        self.foot.show_open("board")
        self.board.tiles[0].setFocus()
        self._timer = QTimer(self)
        self._timer.setInterval(TICK)
        self._timer.timeout.connect(self.tick)
        self._timer.start()

    def _lay_out(self) -> None:
        body = QWidget()
        self._layout = QVBoxLayout(body)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(STEP // 2)
        self._layout.addWidget(self.head)
        self._layout.addWidget(self.stack, 1)
        self._layout.addWidget(self.foot)
        self.setCentralWidget(body)

    # Pages ----------------------------------------------------------------------------------------

    def offer(self, name: str, maker: PageMaker) -> None:
        """A page that is made when it is first opened."""
        self._makers[name] = maker

    def go(self, name: str) -> None:
        """Open a page."""
        if name not in self._pages and name in self._makers:
            self._add(name, self._makers[name]())
        page = self._pages.get(name)
        if page is None:
            return
        self.stack.setCurrentWidget(page)
        self.foot.show_open(name)
        opened = getattr(page, "opened", None)
        if callable(opened):
            opened()

    def page(self) -> str:
        """The name of the page that is open."""
        page = self.stack.currentWidget()
        return page.objectName() if page else ""

    def _add(self, name: str, page: QWidget) -> None:
        page.setObjectName(name)
        self._pages[name] = page
        self.stack.addWidget(page)

    def open_form(self, kind: str) -> None:
        """Open the form of a kind."""
        print(kind)

    # Time and keys --------------------------------------------------------------------------------

    def tick(self) -> None:
        """All that time changes: worked out anew."""
        self.desk.look()
        self.head.refresh()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.isAutoRepeat() or not self._press_key(event):
            super().keyPressEvent(event)

    def _press_key(self, event: QKeyEvent) -> bool:
        does = self._keys.get(QKeySequence(event.keyCombination()).toString())
        if does is not None:
            return self._do(does)
        number = TILE_KEYS.find(event.text()) + 1 if event.text() else 0
        if self.page() == "board" and number > 0:
            return self.board.press_number(number, event.timestamp())
        return False

    def _do(self, does: str) -> bool:
        if does in self._makers or does in self._pages:
            self.go(does)
            return True
        if does == "back":
            self.go("board")
            return True
        if does == "night":
            self.theme.set_night(not self.theme.is_night)
            return True
        if does in ("larger", "smaller"):
            self.theme.set_percent(self.theme.percent + (25 if does == "larger" else -25))
            return True
        return False

    def closeEvent(self, event: QCloseEvent) -> None:
        self._timer.stop()
        self.desk.close()
        super().closeEvent(event)


def named(person: str) -> str:
    """The window's title."""
    return say("carelog: {person}").format(person=person) if person else "carelog"
