"""Which sheet: a button each with a small picture of it, its name, and what one needs it for."""

from collections.abc import Mapping
from functools import partial

from PySide6.QtCore import QLocale, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPalette, QPen
from PySide6.QtWidgets import QStylePainter

from carelog.domain.paper import Sheet
from carelog.text import say
from carelog.ui.button import WIDEST, ChoiceButton, fill
from carelog.ui.forms.picks import Picks
from carelog.ui.palette import INK, LINE, SOFT, SURFACE
from carelog.ui.theme import STEP, percent_now

WIDTH, PICTURE = 296, (36, 47)  # px at 100 %
ROWS = 11
BAR = 4  # px: the bar beneath the chosen one
ANY = ("######    ", "          ", *("---------- ",) * 9)
"""The picture of a sheet that declares none."""


class SheetButton(ChoiceButton):
    """A small picture of the sheet at the left; its name, and beneath it in soft ink what it is for."""

    def __init__(self, sheets: Mapping[str, Sheet], words: str, name: str, *, is_one_of: bool) -> None:
        """`name` ends with the sheet's."""
        super().__init__(words, name, is_one_of=is_one_of)
        self.sheet = sheets[name.removeprefix("pick_sheet_name_")]
        self._purpose = say(self.sheet.purpose) if self.sheet.purpose else ""
        self.setAccessibleDescription(self._purpose)

    def sizeHint(self) -> QSize:
        return QSize(_scaled(WIDTH), self.heightForWidth(_scaled(WIDTH)))

    def wraps(self) -> bool:
        return _scaled(WIDTH) > WIDEST

    def heightForWidth(self, width: int) -> int:
        left, high = map(_scaled, PICTURE)
        room = QRect(0, 0, width - left - 4 * STEP, 10_000)
        flags = int(Qt.TextFlag.TextWordWrap.value)
        texts = self._title_metrics().boundingRect(room, flags, self.words).height()
        if self._purpose:
            texts += self.fontMetrics().boundingRect(room, flags, self._purpose).height()
        return max(high, texts + BAR) + 2 * STEP

    def _title_font(self) -> QFont:
        font = QFont(self.font())
        font.setWeight(QFont.Weight.DemiBold)
        return font

    def _title_metrics(self) -> QFontMetrics:
        return QFontMetrics(self._title_font())

    def draw_words(self, painter: QStylePainter, place: QRect) -> None:
        """The picture, the name and the purpose; mirrored where the language is."""
        wide, high = map(_scaled, PICTURE)
        is_mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
        picture = QRect(place.left() + STEP, place.top() + STEP, wide, high)
        texts = place.adjusted(wide + 3 * STEP, STEP, -STEP, -STEP)
        if is_mirrored:
            picture.moveRight(place.right() - STEP)
            texts = place.adjusted(STEP, STEP, -wide - 3 * STEP, -STEP)
        draw_sketch(painter, self.sheet.sketch or ANY, picture, self.palette())
        side = Qt.AlignmentFlag.AlignRight if is_mirrored else Qt.AlignmentFlag.AlignLeft
        flags = int(Qt.TextFlag.TextWordWrap.value) | int(side.value)
        painter.setPen(self.palette().color(QPalette.ColorGroup.Normal, INK))
        painter.setFont(self._title_font())
        used = painter.boundingRect(texts, flags, self.words)
        painter.drawText(texts, flags, self.words)
        painter.setFont(self.font())
        painter.setPen(self.palette().color(QPalette.ColorGroup.Normal, SOFT))
        painter.drawText(texts.adjusted(0, used.height(), 0, 0), flags, self._purpose)


def _scaled(length: int) -> int:
    return length * percent_now() // 100


def draw_sketch(painter: QPainter, rows: tuple[str, ...], area: QRect, colours: QPalette) -> None:
    """A sheet's sketch on a small page."""
    normal = QPalette.ColorGroup.Normal
    ink, soft, line, surface = (colours.brush(normal, role) for role in (INK, SOFT, LINE, SURFACE))
    painter.setPen(QPen(line, 1))
    painter.setBrush(surface)
    painter.drawRect(area)
    across, down = (area.width() - 6) / max(map(len, rows)), (area.height() - 6) / ROWS
    corners: dict[str, list[tuple[int, int]]] = {}
    for y, row in enumerate(rows):
        for x, letter in enumerate(row):
            cell = QRectF(area.x() + 3 + x * across, area.y() + 3 + y * down, across, down).toRect()
            if letter == "#":
                fill(painter, cell.adjusted(0, 1, 0, -1), ink)
            elif letter == "-":
                fill(painter, QRect(cell.left(), cell.center().y(), cell.width(), 1), soft)
            elif letter == "x":
                fill(painter, cell, ink)
            elif letter.isalpha():
                corners.setdefault(letter, []).append((x, y))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(ink, 1))
    for places in corners.values():
        left, right = min(x for x, _ in places), max(x for x, _ in places)
        top, low = min(y for _, y in places), max(y for _, y in places)
        box = QRectF(
            area.x() + 3 + left * across,
            area.y() + 3 + top * down,
            (right - left + 1) * across,
            (low - top + 1) * down,
        )
        painter.drawRect(box.toRect().adjusted(0, 0, -1, -1))


def usual_paper() -> str:
    """The paper of the country that the computer is set to."""
    system = QLocale.system().measurementSystem()
    return "letter" if system is QLocale.MeasurementSystem.ImperialUSSystem else "a4"


class SheetPicks(Picks):
    """The sheets to choose from; one is always chosen."""

    def __init__(self, sheets: Mapping[str, Sheet]) -> None:
        options = [(name, each.title) for name, each in sheets.items()]
        super().__init__(
            "sheet_name", say("Sheet"), options, is_needed=True, made_by=partial(SheetButton, sheets)
        )
