"""Layouts whose height follows from their width: what they share, and one that runs on like words."""

from typing import NamedTuple

from PySide6.QtCore import QMargins, QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

from carelog.ui.theme import STEP


class Laid(QLayout):
    """Items in order, placed within margins, mirrored where the language is."""

    def __init__(self, parent: QWidget | None = None, gap: int = STEP) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._gap = gap
        self._heights: dict[int, int] = {}
        """By width; Qt asks again and again until something in it changes."""
        self.setContentsMargins(QMargins(0, 0, 0, 0))

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)
        self.invalidate()

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        if not 0 <= index < len(self._items):
            return None
        self.invalidate()
        return self._items.pop(index)

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation.Horizontal

    def hasHeightForWidth(self) -> bool:
        return True

    def invalidate(self) -> None:
        """Something in it has changed; Qt says so."""
        self._heights.clear()
        super().invalidate()

    def heightForWidth(self, width: int) -> int:
        height = self._heights.get(width)
        if height is None:
            height = self._heights[width] = self._place(QRect(0, 0, width, 0), is_rehearsal=True)
        return height

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        self._place(rect, is_rehearsal=False)

    def sizeHint(self) -> QSize:
        width = max((item.sizeHint().width() for item in self._items), default=0)
        return QSize(width + self._sides(), self.minimumSize().height())

    def minimumSize(self) -> QSize:
        width = max((item.minimumSize().width() for item in self._items), default=0)
        return QSize(width + self._sides(), 0)

    def _sides(self) -> int:
        margins = self.contentsMargins()
        return margins.left() + margins.right()

    def _shown(self) -> list[QLayoutItem]:
        return [item for item in self._items if not item.isEmpty()]

    def _mirrored(self, place: QRect, area: QRect) -> QRect:
        owner = self.parentWidget()
        if owner is None or owner.layoutDirection() != Qt.LayoutDirection.RightToLeft:
            return place
        return QRect(area.x() + area.right() - place.right(), place.y(), place.width(), place.height())

    def _place(self, rect: QRect, *, is_rehearsal: bool) -> int:
        """Place the items, or only tell the height that they take."""
        raise NotImplementedError


class AskedSize(NamedTuple):
    """What an item that is shown asks for, in px."""

    item: QLayoutItem
    wide: int
    high: int
    narrowest: int
    lowest: int
    is_wrapping: bool
    """Whether its height follows from its width."""


class Flow(Laid):
    """Left to right (mirrored where the language asks for it), then down."""

    is_centred = False
    """Whether each line lies in the middle, not at the beginning."""

    def __init__(self, parent: QWidget | None = None, gap: int = STEP) -> None:
        self._asked: list[AskedSize] | None = None
        self._lines_at: dict[int, list[list[tuple[QLayoutItem, QSize]]]] = {}
        """By width; as what each asks for, kept until something in it changes."""
        super().__init__(parent, gap)

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def invalidate(self) -> None:
        self._asked = None
        self._lines_at.clear()
        super().invalidate()

    def _all_ask(self) -> list[AskedSize]:
        """What each item that is shown asks for: Qt's own answers cost more than the arranging."""
        if self._asked is None:
            self._asked = []
            for item in self._shown():
                hint, least = item.sizeHint(), item.minimumSize()
                sizes = hint.width(), hint.height(), least.width(), least.height()
                self._asked.append(AskedSize(item, *sizes, item.hasHeightForWidth()))
        return self._asked

    def sizeHint(self) -> QSize:
        asked = self._all_ask()
        width = sum(each.wide + self._gap for each in asked)
        return QSize(width, max((each.high for each in asked), default=0)).expandedTo(self.minimumSize())

    def minimumSize(self) -> QSize:
        asked, margins = self._all_ask(), self.contentsMargins()
        width, height = (
            max((each.narrowest for each in asked), default=-1),
            max((each.lowest for each in asked), default=-1),
        )
        return QSize(width + margins.left() + margins.right(), height + margins.top() + margins.bottom())

    def _place(self, rect: QRect, *, is_rehearsal: bool) -> int:
        area = rect.marginsRemoved(self.contentsMargins())
        y = area.y()
        for line in self._lines(area.width()):
            height = max(size.height() for _item, size in line)
            if is_rehearsal:
                y += height + self._gap
                continue
            x = area.x()
            if self.is_centred:
                whole = sum(size.width() + self._gap for _item, size in line) - self._gap
                x += max((area.width() - whole) // 2, 0)
            for item, size in line:
                middle = y + (height - size.height()) // 2
                item.setGeometry(self._mirrored(QRect(QPoint(x, middle), size), area))
                x += size.width() + self._gap
            y += height + self._gap
        return max(y - self._gap, area.y()) - rect.y() + self.contentsMargins().bottom()

    def _lines(self, width: int) -> list[list[tuple[QLayoutItem, QSize]]]:
        lines = self._lines_at.get(width)
        if lines is None:
            lines = self._lines_at[width] = self._broken(width)
        return lines

    def _broken(self, width: int) -> list[list[tuple[QLayoutItem, QSize]]]:
        """What stands on each line of so many px, each item as large as it is there."""
        lines: list[list[tuple[QLayoutItem, QSize]]] = []
        room = 0
        for each in self._all_ask():
            wide, high = min(each.wide, max(width, each.narrowest)), each.high
            if not lines or wide > room:
                lines.append([])
                room = width
            if each.is_wrapping:
                high = each.item.heightForWidth(wide)
            lines[-1].append((each.item, QSize(wide, high)))
            room -= wide + self._gap
        return lines


def centred(*widgets: QWidget) -> QWidget:
    """Widgets side by side in the middle, going on in the next line."""
    holder = QWidget()
    flow = Flow(holder)
    flow.is_centred = True
    for widget in widgets:
        flow.addWidget(widget)
    return holder
