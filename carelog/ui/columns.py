"""Layouts for wide windows: what follows one another in columns, and two things side by side.

Both keep a reading width and read down one column and then the next. Titles begin at one edge on every page:
what is left over lies behind the columns while it is less than half of one, and around them where it is more.
"""

from collections.abc import Sequence

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QLayoutItem, QWidget

from carelog.ui.flow import Laid
from carelog.ui.theme import STEP, percent_now

WIDEST = 840  # px at 100 %: a line of some 100 letters; a longer one is lost on the way back to its start
NARROWEST = 440  # px at 100 %, of a column that stands beside another
MOST = 3
GAP = 3 * STEP


class WideColumns(Laid):
    """Parts one under another, in one column or up to three, each part whole in one of them."""

    def __init__(
        self, parent: QWidget | None = None, gap: int = STEP, *, least: int = NARROWEST, most: int = MOST
    ) -> None:
        """`least`: the width in px at 100 % below which a column doesn't stand beside another."""
        super().__init__(parent, gap)
        self._least = least
        self._most = most
        self._across: set[QWidget] = set()
        self._whole: set[QWidget] = set()
        self._around = 0
        """How many columns those that it lies within have; 0: it lies within none."""
        self.is_unfilled = False
        """Whether what it will hold isn't known yet: it takes all columns that there is room for."""

    def add_across(self, widget: QWidget, *, is_whole: bool = False) -> None:
        """Add something that lies across all columns, such as the title above them.

        Words keep their reading width; what is whole, such as a frame, ends where the last column does.
        """
        self._across.add(widget)
        if is_whole:
            self._whole.add(widget)
        self.addWidget(widget)

    def count_of_columns(self, width: int) -> int:
        """How many columns there are in a width of so many px; as many as around it at least."""
        return self._count(width, MOST if self.is_unfilled else self._around)

    def _count(self, width: int, at_least: int) -> int:
        room = width - self._sides()
        least = self._least * percent_now() // 100
        wanted = max((self._wanted(run, room) for _is_across, run in self._runs()), default=1)
        return max(min(self._most, (room + GAP) // (least + GAP), max(wanted, at_least)), 1)

    @staticmethod
    def _wanted(run: list[QLayoutItem], room: int) -> int:
        """How many columns these could fill: as many as there are, or as they have in themselves."""
        return max([len(run), *(each._count(room, 1) for each in _nested(run))])

    def _runs(self) -> list[tuple[bool, list[QLayoutItem]]]:
        """The items in their order: one that lies across, or several that share the columns."""
        found: list[tuple[bool, list[QLayoutItem]]] = []
        for item in self._shown():
            widget = item.widget()
            is_across = widget is not None and widget in self._across
            if is_across or not found or found[-1][0]:
                found.append((is_across, []))
            found[-1][1].append(item)
        return found

    def _place(self, rect: QRect, *, is_rehearsal: bool) -> int:
        area = rect.marginsRemoved(self.contentsMargins())
        columns = self.count_of_columns(rect.width())
        room = (area.width() - (columns - 1) * GAP) // columns
        longest = WIDEST * percent_now() // 100
        width = min(room, longest)
        whole = columns * width + (columns - 1) * GAP
        left, y = area.x() + self._indented(area.width() - whole, longest), area.y()
        for is_across, run in self._runs():
            for nested in _nested(run):
                nested._around = columns
            wide = width if not is_across else whole if self._is_whole(run) else min(whole, longest)
            heights = [_height(item, wide) for item in run]
            lowest = y
            for number, part in enumerate(parted(heights, 1 if is_across else columns, self._gap)):
                x, top = left + number * (width + GAP), y
                for index in part:
                    if not is_rehearsal:
                        run[index].setGeometry(self._mirrored(QRect(x, top, wide, heights[index]), area))
                    top += heights[index] + self._gap
                lowest = max(lowest, top)
            y = lowest
        return max(y - self._gap, area.y()) - rect.y() + self.contentsMargins().bottom()

    def _is_whole(self, run: list[QLayoutItem]) -> bool:
        return bool(_nested(run)) or run[0].widget() in self._whole

    def _indented(self, over: int, longest: int) -> int:
        """How far from the edge the columns begin where so many px are left over."""
        return 0 if self._around or over <= longest // 2 else over // 2


class SideBySide(Laid):
    """Two things: side by side where there is room for both, else one under the other."""

    def __init__(self, parent: QWidget | None = None, *, least: tuple[int, int], share: float = 0.5) -> None:
        """`least`: the widths in px at 100 % from which they stand side by side; `share`: of the first."""
        super().__init__(parent)
        self._least = least
        self._share = share

    def is_beside(self, width: int) -> bool:
        """Whether both stand side by side in a width of so many px."""
        needed = sum(self._least) * percent_now() // 100 + GAP
        return len(self._shown()) > 1 and width - self._sides() >= needed

    def _place(self, rect: QRect, *, is_rehearsal: bool) -> int:
        area = rect.marginsRemoved(self.contentsMargins())
        is_beside = self.is_beside(rect.width())
        first = max(round((area.width() - GAP) * self._share), self._least[0] * percent_now() // 100)
        x, y, lowest = area.x(), area.y(), area.y()
        for number, item in enumerate(self._shown()):
            width = area.width()
            if is_beside:
                width = first if number == 0 else area.width() - first - GAP
            height = _height(item, width)
            if not is_rehearsal:
                item.setGeometry(self._mirrored(QRect(x, y, width, height), area))
            lowest = max(lowest, y + height)
            x, y = (x + width + GAP, y) if is_beside else (x, y + height + self._gap)
        return lowest - rect.y() + self.contentsMargins().bottom()


def _nested(items: Sequence[QLayoutItem]) -> list[WideColumns]:
    """The columns that these have in themselves."""
    within = [widget.layout() for item in items if (widget := item.widget()) is not None]
    return [each for each in within if isinstance(each, WideColumns)]


def _height(item: QLayoutItem, width: int) -> int:
    return item.heightForWidth(width) if item.hasHeightForWidth() else item.sizeHint().height()


def parted(heights: Sequence[int], columns: int, gap: int) -> list[list[int]]:
    """Parts of these heights in px by number, in their order, in columns of which the highest is lowest."""
    if columns == 1 or len(heights) <= 1:
        return [list(range(len(heights)))]
    low, high = max(heights), sum(heights) + gap * len(heights)
    while low < high:
        middle = (low + high) // 2
        if len(_filled(heights, middle, gap)) <= columns:
            high = middle
        else:
            low = middle + 1
    return _filled(heights, low, gap)


def _filled(heights: Sequence[int], most: int, gap: int) -> list[list[int]]:
    """Columns filled one after another, none higher than that."""
    found: list[list[int]] = [[]]
    taken = 0
    for number, height in enumerate(heights):
        needed = height + (gap if found[-1] else 0)
        if found[-1] and taken + needed > most:
            found.append([])
            taken, needed = 0, height
        found[-1].append(number)
        taken += needed
    return found
