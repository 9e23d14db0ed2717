"""The pages of a sheet as they will be printed: as wide as there is room for, dark on a dark ground."""

from typing import NamedTuple

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


class DrawnPages(NamedTuple):
    """What stands there: how many pages of which sheet, drawn for which room in px, and for which ground."""

    pdf: bytes = b""
    room: int = 0
    is_dark: bool = False
    pages: int = 0


class Preview(QWidget):
    """Pictures of the first pages, one below the other; drawn anew when the room or the colours change."""

    def __init__(self, most: int) -> None:
        """`most`: how many pages are shown at the most."""
        super().__init__()
        self._most = most
        self._pdf = b""
        self._count = 0
        self._drawn = DrawnPages()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._draw)

    def show_pages(self, pdf: bytes, count: int) -> None:
        """Show these pages, of `count`."""
        self._pdf, self._count = pdf, count
        self._draw()

    def showEvent(self, event: QShowEvent) -> None:
        """What came while another page was open is drawn once this one is painted."""
        super().showEvent(event)
        self._soon.start(SOON)

    def clear(self) -> None:
        """Show nothing: another sheet is being made."""
        self._pdf, self._count = b"", 0
        self._take_all_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._soon.start(SOON)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._take_all_out()  # white paper isn't left in the dark until it is drawn anew
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._soon.start(SOON)

    def _room(self) -> int:
        return max(min(self.width(), WIDEST * percent_now() // 100), NARROWEST)

    def _draw(self) -> None:
        """Draw the first page that isn't there; the others follow between events, each takes long."""
        if not self._count or not self.isVisible():
            return
        wanted = DrawnPages(self._pdf, self._room(), has_dark_ground())
        if self._drawn._replace(pages=0) != wanted:
            self._take_all_out()
            self._drawn = wanted
            if wanted.is_dark:
                self._column.addWidget(Words(say("Shown in dark colours. It prints black on white.")))
        if self._drawn.pages < min(self._count, self._most):
            self._draw_page(self._drawn.pages)
            self._drawn = self._drawn._replace(pages=self._drawn.pages + 1)
            if not self._soon.isActive():  # else the room changes: with the first page a scroll bar may come
                self._soon.start(0)

    def _draw_page(self, number: int) -> None:
        picture = wide_picture(self._pdf, number, self._room())
        if has_dark_ground():  # white paper would light up a dark room, and so would a page of bright words
            picture = in_colours(picture, self.palette().color(SOFT), self.palette().color(SURFACE))
        label = QLabel()
        label.setPixmap(QPixmap.fromImage(picture))
        label.setAccessibleName(say("Page {page} of {count}").format(page=number + 1, count=self._count))
        label.setMinimumWidth(NARROWEST)
        self._column.addWidget(label, 0, Qt.AlignmentFlag.AlignLeft)

    def _take_all_out(self) -> None:
        self._drawn = DrawnPages()
        while (item := self._column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.setParent(None)
                widget.deleteLater()
