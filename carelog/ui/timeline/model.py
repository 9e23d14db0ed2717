"""The timeline's rows for a table view: fetched as they are scrolled to, inserted, never reset."""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont, QPixmap
from PySide6.QtWidgets import QApplication

from carelog.text import mark, say
from carelog.ui.glyphs import glyph_picture
from carelog.ui.palette import INK, SOFT
from carelog.ui.theme import Size, font, percent_now
from carelog.ui.timeline.rows import TimelineRow, heading

COLUMNS = (mark("Time"), mark("What"), mark("Details"), mark("Who"), mark("Remarks"))
Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole
GLYPH = 24  # px at 100 %


class TimelineModel(QAbstractTableModel):
    """Rows newest first with a heading above each day and night."""

    def __init__(
        self, fetch: Callable[[], None], *, text: Size = Size.TEXT, strong: Size = Size.STRONG
    ) -> None:
        """`fetch` asks for more rows; they come by `append`. `text`, `strong`: the letters of a row."""
        super().__init__()
        self._text_size, self._strong_size = text, strong
        self._fetch = fetch
        self._rows: list[TimelineRow] = []
        self._is_done = False
        self._is_asked = False
        self._letters = (40, 40)
        self._is_folded = False
        self._glyphs: dict[tuple[str, int, int], QPixmap] = {}

    # Qt asks --------------------------------------------------------------------------------------

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(COLUMNS)

    def canFetchMore(self, parent: Index) -> bool:
        return not parent.isValid() and not self._is_done and not self._is_asked

    def fetchMore(self, parent: Index) -> None:
        if self.canFetchMore(parent):
            self._is_asked = True
            self._fetch()

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        row = self._rows[index.row()]
        if role == Role.DisplayRole:
            return self._text(row, index.column())
        if role == Role.FontRole:
            return self._font(row, index.column())
        if role == Role.DecorationRole and index.column() == 1 and not row.is_heading:
            return self._glyph(row.kind)
        if role == Role.ForegroundRole and index.column() == 4:
            return QApplication.palette().color(SOFT)
        if role in (Role.AccessibleTextRole, Role.ToolTipRole):
            return spoken(row)
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Role.DisplayRole) -> Any:
        if role == Role.DisplayRole and orientation == Qt.Orientation.Horizontal:
            return say(COLUMNS[section])
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        if self._rows[index.row()].is_heading:
            return Qt.ItemFlag.ItemIsEnabled
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable

    # Rows -----------------------------------------------------------------------------------------

    def row(self, number: int) -> TimelineRow:
        """The row at a place."""
        return self._rows[number]

    def place_of(self, root: str) -> int | None:
        """Where the row of an entry stands; None: it isn't fetched, or not shown."""
        return next((n for n, row in enumerate(self._rows) if row.root == root), None)

    def is_done(self) -> bool:
        """Whether every row was fetched."""
        return self._is_done

    def append(self, rows: Sequence[TimelineRow], is_done: bool) -> None:
        """Older rows, in their order."""
        self._is_asked, self._is_done = False, is_done
        found = self._with_headings(rows)
        if found:
            first = len(self._rows)
            self.beginInsertRows(QModelIndex(), first, first + len(found) - 1)
            self._rows += found
            self.endInsertRows()

    def put(self, row: TimelineRow) -> None:
        """A row that is new or has changed takes its place; one that belongs to older pieces waits there.

        One that keeps its place is only told anew: whoever is at it stays there.
        """
        here = self.place_of(row.root)
        if here is not None and (self._rows[here].key(), self._rows[here].group) == (row.key(), row.group):
            self._rows[here] = row
            self.dataChanged.emit(self.index(here, 0), self.index(here, len(COLUMNS) - 1))
            return
        self.drop(row.root)
        place = bisect_left(self._rows, row.key(), key=_key)
        if place == len(self._rows) and not self._is_done and self._rows:
            return
        has_heading = any(
            0 <= near < len(self._rows) and self._rows[near].group == row.group for near in (place - 1, place)
        )
        new = [row] if has_heading else [heading(row.group, row.time), row]
        if place < len(self._rows) and self._rows[place].is_heading and self._rows[place].group == row.group:
            self._rows[place] = replace(self._rows[place], time=row.time)
            place += 1
        self.beginInsertRows(QModelIndex(), place, place + len(new) - 1)
        self._rows[place:place] = new
        self.endInsertRows()

    def drop(self, root: str) -> None:
        """Take a row out."""
        place = self.place_of(root)
        if place is None:
            return
        is_last = place + 1 == len(self._rows) or self._rows[place + 1].is_heading
        first = place - 1 if is_last and place and self._rows[place - 1].is_heading else place
        self.beginRemoveRows(QModelIndex(), first, place)
        del self._rows[first : place + 1]
        self.endRemoveRows()

    def clear(self) -> None:
        """Take all rows out: the filters have changed."""
        self._is_asked, self._is_done = False, False
        if self._rows:
            self.beginRemoveRows(QModelIndex(), 0, len(self._rows) - 1)
            self._rows = []
            self.endRemoveRows()

    def set_room(self, details: int, marks: int, *, is_folded: bool = False) -> None:
        """How many letters have room in the two columns that wrap; folded: what it is stands before them."""
        self._letters, self._is_folded = (details, marks), is_folded

    def _with_headings(self, rows: Sequence[TimelineRow]) -> list[TimelineRow]:
        found: list[TimelineRow] = []
        last = self._rows[-1].group if self._rows else None
        for row in rows:
            if row.group != last:
                found.append(heading(row.group, row.time))
                last = row.group
            found.append(row)
        return found

    def _text(self, row: TimelineRow, column: int) -> str:
        if row.is_heading:
            return row.title if column == 0 else ""
        details, marks = self._letters
        line, clock = row.line, row.clock
        if self._is_folded:
            clock, _space, elsewhere = clock.partition("\N{NO-BREAK SPACE}")
            named = f"{row.title}: {line}" if line else row.title
            line = f"{elsewhere} {named}" if elsewhere else named
        if marks <= 0 and row.marks:
            line = values_first(line, row.marks, details)
        texts = (clock, row.title, shortened(line, details), row.who, shortened(row.marks, marks))
        return texts[column]

    def _glyph(self, kind: str) -> QPixmap:
        """The kind's drawing, which stands beside its name; made once for each size and ink."""
        ink, side = QApplication.palette().brush(INK), GLYPH * percent_now() // 100
        key = kind, side, ink.color().rgba()
        if key not in self._glyphs:
            self._glyphs[key] = glyph_picture(kind, side, ink, 2.0)
        return self._glyphs[key]

    def _font(self, row: TimelineRow, column: int) -> QFont:
        is_head = row.is_heading and not self._is_folded  # there a day's whole name has to fit
        is_strong = column == 1 or row.is_heading
        size = Size.NAME if is_head else self._strong_size if is_strong else self._text_size
        made = font(size, percent_now())
        made.setStrikeOut(row.is_struck and column < 3)
        return made


def _key(row: TimelineRow) -> tuple[int, str]:
    return row.key()


def shortened(text: str, letters: int) -> str:
    """The text, cut to so many letters at the end of a word; the whole stands on the entry's own page."""
    line = " ".join(text.split())
    if len(line) <= letters:
        return line
    return f"{line[: max(letters - 1, 1)].rstrip()}…"


def values_first(line: str, marks: str, letters: int) -> str:
    """What was recorded, and after it the marks, which keep half of the room where they need it."""
    values = shortened(line, max(letters - len(marks) - 2, letters // 2))
    return f"{values}; {marks}" if values else marks


def spoken(row: TimelineRow) -> str:
    """A row as it is read out."""
    return ", ".join(part for part in (row.clock, row.title, row.line, row.who, row.marks) if part)
