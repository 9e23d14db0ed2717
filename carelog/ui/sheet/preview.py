"""The pages of a sheet as they will be printed: as wide as there is room for, dark on a dark ground."""

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QPixmap, QResizeEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.palette import SOFT, SURFACE
from carelog.ui.sheet.pictures import first_pictures, in_colours
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

    def show_pages(self, pdf: bytes, count: int) -> None:
        """Show these pages, of `count`."""
        self._pdf, self._count = pdf, count
        self._draw()

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
        wanted = (self._pdf, self._room(), has_dark_ground())
        if not self._pdf or wanted == self._shown:
            return
        self._shown = wanted
        self._take_all_out()
        if has_dark_ground():
            self._column.addWidget(Words(say("Shown in dark colours. It prints black on white.")))
        colours = self.palette()
        for number, picture in enumerate(first_pictures(self._pdf, self._room(), self._most)):
            if (
                has_dark_ground()
            ):  # white paper would light up a dark room, and so would a page full of bright words
                picture = in_colours(picture, colours.color(SOFT), colours.color(SURFACE))
            label = QLabel()
            label.setPixmap(QPixmap.fromImage(picture))
            words = say("Page {page} of {count}").format(page=number + 1, count=self._count)
            label.setAccessibleName(words)
            label.setMinimumWidth(NARROWEST)
            self._column.addWidget(label, 0, Qt.AlignmentFlag.AlignLeft)

    def _take_all_out(self) -> None:
        while (item := self._column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.setParent(None)
                widget.deleteLater()
