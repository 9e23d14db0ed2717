"""A layout that sets widgets side by side and goes on in the next line, like words."""

from PySide6.QtCore import QMargins, QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

from carelog.ui.theme import STEP


class Flow(QLayout):
    """Left to right (mirrored where the language asks for it), then down."""

    def __init__(self, parent: QWidget | None = None, gap: int = STEP) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._gap = gap
        self.setContentsMargins(QMargins(0, 0, 0, 0))

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._place(QRect(0, 0, width, 0), is_rehearsal=True)

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        self._place(rect, is_rehearsal=False)

    def sizeHint(self) -> QSize:
        shown = [item.sizeHint() for item in self._items if not item.isEmpty()]
        width = sum(size.width() + self._gap for size in shown)
        return QSize(width, max((size.height() for size in shown), default=0)).expandedTo(self.minimumSize())

    def minimumSize(self) -> QSize:
        size = QSize()
        for item in self._items:
            if not item.isEmpty():
                size = size.expandedTo(item.minimumSize())
        margins = self.contentsMargins()
        return size + QSize(margins.left() + margins.right(), margins.top() + margins.bottom())

    def _place(self, rect: QRect, *, is_rehearsal: bool) -> int:
        area = rect.marginsRemoved(self.contentsMargins())
        x, y, line_height = area.x(), area.y(), 0
        for item in self._items:
            if item.isEmpty():
                continue
            size = item.sizeHint().boundedTo(QSize(max(area.width(), item.minimumSize().width()), 100_000))
            if x > area.x() and x + size.width() > area.x() + area.width():
                x, y, line_height = area.x(), y + line_height + self._gap, 0
            if not is_rehearsal:
                item.setGeometry(self._mirrored(QRect(QPoint(x, y), size), area))
            x += size.width() + self._gap
            line_height = max(line_height, size.height())
        return y + line_height - rect.y() + self.contentsMargins().bottom()

    def _mirrored(self, place: QRect, area: QRect) -> QRect:
        owner = self.parentWidget()
        if owner is None or owner.layoutDirection() != Qt.LayoutDirection.RightToLeft:
            return place
        return QRect(area.x() + area.right() - place.right(), place.y(), place.width(), place.height())
