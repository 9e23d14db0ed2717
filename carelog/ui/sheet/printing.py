"""Printing: each page a picture at its own size and the printer's resolution, at most 300 dots an inch."""

from collections.abc import Sequence
from typing import Protocol

from PySide6.QtCore import QMarginsF, QRect, QRectF, QSizeF, Qt
from PySide6.QtGui import QFont, QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter, QPrinterInfo
from PySide6.QtWidgets import QDialog, QWidget

from carelog.text import say
from carelog.ui.sheet.pictures import POINTS, opened, page_picture
from carelog.ui.sheet.queue import is_closed
from carelog.ui.theme import FAMILY

FINEST = 300  # dots an inch
TWO_SIDED = (QPrinter.DuplexMode.DuplexLongSide, QPrinter.DuplexMode.DuplexShortSide)
SLACK = 2  # dots by which a page may be larger than the printer's own rounding of it


class Unprinted(Exception):
    """The printer took no page, or no further one."""


class Paper:
    """A printer while it is drawn on: pages are begun one after the other, each of its own size."""

    def __init__(self, printer: QPrinter) -> None:
        self._printer = printer
        self.painter = QPainter()
        self._count = 0
        self.is_shrunk = False
        """Whether some page was larger than the printer's paper."""

    @property
    def dots(self) -> int:
        """How many an inch."""
        return self._printer.resolution()

    @property
    def area(self) -> QRect:
        """The whole paper of the page that was begun."""
        return QRect(0, 0, self._printer.width(), self._printer.height())

    def turn(self, points: QSizeF | None = None) -> None:
        """Begin a page of a size in points (None: the printer's own); `Unprinted` if it can't."""
        if points is not None:
            self._lay_out(points)
        is_begun = self.painter.isActive()
        if not (self._printer.newPage() if is_begun else self.painter.begin(self._printer)):
            raise Unprinted
        self._count += 1

    def turn_to_front(self) -> None:
        """Leave a back empty: what follows stands on a piece of paper of its own."""
        if self._count % 2 and self._printer.duplex() in TWO_SIDED:
            self.turn()

    def _lay_out(self, points: QSizeF) -> None:
        is_wide = points.width() > points.height()
        upright = points.transposed() if is_wide else points
        fuzzy = QPageSize.SizeMatchPolicy.FuzzyMatch
        size = QPageSize(upright, QPageSize.Unit.Point, "", fuzzy)
        turned = QPageLayout.Orientation.Landscape if is_wide else QPageLayout.Orientation.Portrait
        layout = QPageLayout(size, turned, QMarginsF(0, 0, 0, 0), QPageLayout.Unit.Point)
        layout.setMode(QPageLayout.Mode.FullPageMode)
        self._printer.setPageLayout(layout)

    def end(self) -> None:
        """Hand all over; `Unprinted` if it isn't taken."""
        if self.painter.isActive() and not self.painter.end():
            raise Unprinted


class Pages(Protocol):
    """What can be drawn onto a printer's pages."""

    def draw(self, paper: Paper) -> None:
        """Draw everything, beginning each page."""


def print_pages(window: QWidget, pages: Pages, title: str) -> str:
    """Ask which printer, and print; a sentence about how it went, empty when nobody wanted it."""
    if not QPrinterInfo.availablePrinters():
        if isinstance(pages, TextPages):  # there is nothing of it to save
            return say("No printer is set up on this computer. Nothing was printed.")
        return say("No printer is set up on this computer. Save the sheet and print it elsewhere.")
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(title)
    dialog = QPrintDialog(printer, window)
    if dialog.exec() != QDialog.DialogCode.Accepted:
        return ""
    return draw_on(printer, pages)


def draw_on(printer: QPrinter, pages: Pages) -> str:
    """Draw the pages on a printer; how it went."""
    if is_closed(printer.printerName()):
        return say("The printer “{name}” takes no pages now.").format(name=printer.printerName())
    printer.setResolution(min(printer.resolution(), FINEST))
    printer.setFullPage(True)
    paper = Paper(printer)
    try:
        pages.draw(paper)
        paper.end()
    except Unprinted:
        return say("The printer doesn't take the pages. Look whether it is on.")
    finally:
        if paper.painter.isActive():
            paper.painter.end()
    return _how_it_went(printer, paper)


def _how_it_went(printer: QPrinter, paper: Paper) -> str:
    """What is known of the printer now that it has the pages."""
    name = printer.printerName()
    known = QPrinterInfo.printerInfo(name) if name else QPrinterInfo()
    to_file = bool(printer.outputFileName())
    if not to_file and (known.isNull() or not known.printerName()):
        return say("The printer “{name}” isn't there any more.").format(name=name)
    is_stopped = known.state() is QPrinter.PrinterState.Error
    if not to_file and (is_stopped or printer.printerState() is QPrinter.PrinterState.Error):
        return say("The printer “{name}” has stopped. The pages wait there.").format(name=name)
    sent = say("Sent to the printer.")
    if paper.is_shrunk:
        return f"{sent} {say('Its paper is smaller, so the pages are too. A card won’t fit its size.')}"
    return sent


class PdfPages:
    """The pages of a sheet's PDF."""

    def __init__(self, pdf: bytes) -> None:
        self._pdf = pdf

    def draw(self, paper: Paper) -> None:
        """Each page as large as it says, if the paper is; a card's size is what it is for."""
        with opened(self._pdf) as document:
            for number in range(len(document)):
                page = document[number]
                paper.turn(QSizeF(page.get_width(), page.get_height()))
                picture, area = page_picture(document, number, paper.dots), paper.area
                size = picture.size()
                if size.width() > area.width() + SLACK or size.height() > area.height() + SLACK:
                    size = size.scaled(area.size(), Qt.AspectRatioMode.KeepAspectRatio)
                    paper.is_shrunk = True
                paper.painter.drawImage(QRect(area.topLeft(), size), picture)


class TextPages:
    """Headings and texts in large letters, for the emergency page."""

    def __init__(self, texts: list[tuple[str, str]]) -> None:
        self._texts = texts

    def draw(self, paper: Paper) -> None:
        """As many lines a page as fit."""
        paper.turn()
        dots, area, painter = paper.dots, paper.area, paper.painter
        margin = dots // 2
        width = area.width() - 2 * margin
        y = margin
        for heading, text in self._texts:
            for words, points, weight in (
                (heading, 18, QFont.Weight.DemiBold),
                (text, 16, QFont.Weight.Normal),
            ):
                font = QFont(FAMILY)
                font.setPixelSize(max(points * dots // POINTS, 1))
                font.setWeight(weight)
                painter.setFont(font)
                flags = int(Qt.TextFlag.TextWordWrap.value)
                height = painter.boundingRect(QRect(0, 0, width, 1_000_000), flags, words).height()
                if y + height > area.height() - margin and y > margin:
                    paper.turn()
                    y = margin
                painter.drawText(QRectF(margin, y, width, height), flags, words)
                y += height + dots // 12


class Together:
    """Several things to print in one go."""

    def __init__(self, parts: Sequence[Pages]) -> None:
        self._parts = parts

    def draw(self, paper: Paper) -> None:
        """One after the other, each on paper of its own: a card is cut out, a blank sheet taken along."""
        for part in self._parts:
            paper.turn_to_front()
            part.draw(paper)
