"""The pages of a sheet as they will be printed: as wide as there is room for, dark on a dark ground."""

from collections import deque

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QPixmap, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.palette import SOFT, SURFACE
from carelog.ui.sheet.pictures import in_colours, wide_picture
from carelog.ui.theme import has_dark_ground, percent_now
from carelog.ui.words import Words

WIDEST = 1080  # px at 100 %: paper's text is then as large as the window's
NARROWEST = 320
SOON = 150  # ms after the last change of the room


class Preview(QWidget):
    """Pictures of the first pages, one below the other; drawn anew when the room or the colours change."""

    def __init__(self, most: int) -> None:
        """`most`: how many pages are shown at the most."""
        super().__init__()
        self._most = most
        self._pdf = b""
        self._count = 0
        self._shown: tuple[object, ...] = ()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(SOON)
        self._soon.timeout.connect(self._draw)
        self._left: deque[int] = deque()
        """The pages that are still to be drawn, by their numbers from 0."""
        self._next = QTimer(self)
        self._next.setSingleShot(True)
        self._next.timeout.connect(self._draw_next)

    def show_pages(self, pdf: bytes, count: int) -> None:
        """Show these pages, of `count`."""
        self._pdf, self._count = pdf, count
        self._draw()

    def showEvent(self, event: QShowEvent) -> None:
        """What came while another page was open is drawn once this one is painted."""
        super().showEvent(event)
        self._soon.start()

    def clear(self) -> None:
        """Show nothing: another sheet is being made."""
        self._pdf, self._count, self._shown = b"", 0, ()
        self._take_all_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._soon.start()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._take_all_out()  # white paper isn't left in the dark until it is drawn anew
            self._shown = ()
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._soon.start()

    def _room(self) -> int:
        return max(min(self.width(), WIDEST * percent_now() // 100), NARROWEST)

    def _draw(self) -> None:
        """Draw the first page, unless it stands there; the others follow between events, each takes long."""
        wanted = (self._pdf, self._room(), has_dark_ground())
        if not self._count or not self.isVisible():
            return
        if wanted == self._shown:
            self._next.start()
            return
        self._shown = wanted
        self._take_all_out()
        if has_dark_ground():
            self._column.addWidget(Words(say("Shown in dark colours. It prints black on white.")))
        self._left = deque(range(min(self._count, self._most)))
        self._draw_page(self._left.popleft())

    def _draw_next(self) -> None:
        if not self._left or not self.isVisible() or self._soon.isActive():
            return  # once it is seen, or is known how wide it is: with the first page a scroll bar may come
        self._draw_page(self._left.popleft())

    def _draw_page(self, number: int) -> None:
        picture = wide_picture(self._pdf, number, self._room())
        if has_dark_ground():  # white paper would light up a dark room, and so would a page of bright words
            picture = in_colours(picture, self.palette().color(SOFT), self.palette().color(SURFACE))
        label = QLabel()
        label.setPixmap(QPixmap.fromImage(picture))
        label.setAccessibleName(say("Page {page} of {count}").format(page=number + 1, count=self._count))
        label.setMinimumWidth(NARROWEST)
        self._column.addWidget(label, 0, Qt.AlignmentFlag.AlignLeft)
        self._next.start()

    def _take_all_out(self) -> None:
        self._left.clear()
        while (item := self._column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.setParent(None)
                widget.deleteLater()
