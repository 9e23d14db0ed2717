"""Printing: each page drawn as a picture at the printer's own resolution, at most 300 dots an inch."""

from collections.abc import Callable, Iterator
from typing import Protocol

from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QFont, QImage, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter, QPrinterInfo
from PySide6.QtWidgets import QDialog, QWidget

from carelog.text import say
from carelog.ui.sheet.pictures import page_pictures
from carelog.ui.theme import FAMILY

FINEST = 300  # dots an inch


class Pages(Protocol):
    """What can be drawn onto a printer's pages."""

    def draw(self, painter: QPainter, area: QRect, next_page: Callable[[], None], dots: int) -> None:
        """Draw everything, asking for each further page."""


def print_pages(window: QWidget, pages: Pages, title: str) -> str:
    """Ask which printer, and print; a sentence about how it went, empty when nobody wanted it."""
    if not QPrinterInfo.availablePrinters():
        return say("No printer is set up on this computer. Save the sheet and print it elsewhere.")
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setResolution(min(printer.resolution(), FINEST))
    printer.setDocName(title)
    dialog = QPrintDialog(printer, window)
    if dialog.exec() != QDialog.DialogCode.Accepted:
        return ""
    return draw_on(printer, pages)


def draw_on(printer: QPrinter, pages: Pages) -> str:
    """Draw the pages on a printer."""
    printer.setResolution(min(printer.resolution(), FINEST))
    painter = QPainter()
    if not painter.begin(printer):
        return say("The printer doesn't take the pages. Look whether it is on.")
    try:
        area = QRect(0, 0, printer.width(), printer.height())
        pages.draw(painter, area, lambda: _turn(printer), printer.resolution())
    finally:
        painter.end()
    return say("Sent to the printer.")


def _turn(printer: QPrinter) -> None:
    printer.newPage()


class PdfPages:
    """The pages of a sheet's PDF."""

    def __init__(self, pdf: bytes) -> None:
        self._pdf = pdf

    def draw(self, painter: QPainter, area: QRect, next_page: Callable[[], None], dots: int) -> None:
        """Each page as large as the printer's page lets it be."""
        for number, picture in enumerate(self._pictures(dots)):
            if number:
                next_page()
            size = picture.size().scaled(area.size(), Qt.AspectRatioMode.KeepAspectRatio)
            painter.drawImage(QRect(area.topLeft(), size), picture)

    def _pictures(self, dots: int) -> Iterator[QImage]:
        return page_pictures(self._pdf, dots)


class TextPages:
    """Headings and texts in large letters, for the emergency page."""

    def __init__(self, texts: list[tuple[str, str]]) -> None:
        self._texts = texts

    def draw(self, painter: QPainter, area: QRect, next_page: Callable[[], None], dots: int) -> None:
        """As many lines a page as fit."""
        margin = dots // 2
        width = area.width() - 2 * margin
        y = margin
        for heading, text in self._texts:
            for words, points, weight in (
                (heading, 18, QFont.Weight.DemiBold),
                (text, 16, QFont.Weight.Normal),
            ):
                font = QFont(FAMILY)
                font.setPixelSize(max(points * dots // 72, 1))
                font.setWeight(weight)
                painter.setFont(font)
                flags = int(Qt.TextFlag.TextWordWrap.value)
                height = painter.boundingRect(QRect(0, 0, width, 1_000_000), flags, words).height()
                if y + height > area.height() - margin and y > margin:
                    next_page()
                    y = margin
                painter.drawText(QRectF(margin, y, width, height), flags, words)
                y += height + dots // 12
