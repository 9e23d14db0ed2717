"""Layouts whose height follows from their width: what they share, and one that runs on like words."""

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


class Flow(Laid):
    """Left to right (mirrored where the language asks for it), then down."""

    is_centred = False
    """Whether each line lies in the middle, not at the beginning."""

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def sizeHint(self) -> QSize:
        shown = [item.sizeHint() for item in self._shown()]
        width = sum(size.width() + self._gap for size in shown)
        return QSize(width, max((size.height() for size in shown), default=0)).expandedTo(self.minimumSize())

    def minimumSize(self) -> QSize:
        size = QSize()
        for item in self._shown():
            size = size.expandedTo(item.minimumSize())
        margins = self.contentsMargins()
        return size + QSize(margins.left() + margins.right(), margins.top() + margins.bottom())

    def _place(self, rect: QRect, *, is_rehearsal: bool) -> int:
        area = rect.marginsRemoved(self.contentsMargins())
        y = area.y()
        for line in self._lines(area.width()):
            height = max(size.height() for _item, size in line)
            x = area.x()
            if self.is_centred:
                whole = sum(size.width() + self._gap for _item, size in line) - self._gap
                x += max((area.width() - whole) // 2, 0)
            for item, size in line:
                if not is_rehearsal:
                    middle = y + (height - size.height()) // 2
                    item.setGeometry(self._mirrored(QRect(QPoint(x, middle), size), area))
                x += size.width() + self._gap
            y += height + self._gap
        return max(y - self._gap, area.y()) - rect.y() + self.contentsMargins().bottom()

    def _lines(self, width: int) -> list[list[tuple[QLayoutItem, QSize]]]:
        lines: list[list[tuple[QLayoutItem, QSize]]] = []
        room = 0
        for item in self._shown():
            size = item.sizeHint().boundedTo(QSize(max(width, item.minimumSize().width()), 100_000))
            if not lines or size.width() > room:
                lines.append([])
                room = width
            if item.hasHeightForWidth():
                size.setHeight(item.heightForWidth(size.width()))
            lines[-1].append((item, size))
            room -= size.width() + self._gap
        return lines


def centred(*widgets: QWidget) -> QWidget:
    """Widgets side by side in the middle, going on in the next line."""
    holder = QWidget()
    flow = Flow(holder)
    flow.is_centred = True
    for widget in widgets:
        flow.addWidget(widget)
    return holder
