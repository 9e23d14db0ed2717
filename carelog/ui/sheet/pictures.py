"""A sheet's PDF bytes as pictures; PDFium works in the window's thread only."""

from typing import TYPE_CHECKING

from PySide6.QtGui import QColor, QImage

if TYPE_CHECKING:
    from pypdfium2 import PdfDocument

POINTS = 72  # an inch


def opened(pdf: bytes) -> "PdfDocument":
    """The document; PDFium is loaded when the first sheet is shown."""
    from pypdfium2 import PdfDocument

    return PdfDocument(pdf)


def page_count(pdf: bytes) -> int:
    """How many pages the sheet has."""
    with opened(pdf) as document:
        return len(document)


def wide_picture(pdf: bytes, number: int, width: int) -> QImage:
    """One page, so many pixels wide."""
    with opened(pdf) as document:
        return page_picture(document, number, width / document[number].get_width() * POINTS)


def page_picture(document: "PdfDocument", number: int, dots_per_inch: float) -> QImage:
    """One page drawn at a resolution."""
    bitmap = document[number].render(scale=dots_per_inch / POINTS, rev_byteorder=False)
    formats = {
        "BGR": QImage.Format.Format_BGR888,
        "BGRX": QImage.Format.Format_RGB32,
        "BGRA": QImage.Format.Format_ARGB32,
    }
    image = QImage(bytes(bitmap.buffer), bitmap.width, bitmap.height, bitmap.stride, formats[bitmap.mode])
    if bitmap.mode == "BGR":
        image = image.rgbSwapped() if image.format() == QImage.Format.Format_RGB888 else image
    return image.copy()


def in_colours(picture: QImage, ink: QColor, paper: QColor) -> QImage:
    """A page with other colours for its black and its white, and what lies between them."""
    grey = picture.convertToFormat(QImage.Format.Format_Grayscale8)
    made = QImage(
        grey.constBits(), grey.width(), grey.height(), grey.bytesPerLine(), QImage.Format.Format_Indexed8
    ).copy()
    made.setColorTable([_between(ink, paper, n / 255).rgb() for n in range(256)])
    return made


def _between(one: QColor, other: QColor, share: float) -> QColor:
    pairs = (
        (one.red(), other.red()),
        (one.green(), other.green()),
        (one.blue(), other.blue()),
    )
    red, green, blue = (round(start + (end - start) * share) for start, end in pairs)
    return QColor(red, green, blue)
