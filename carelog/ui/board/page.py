"""The board's page: tiles left, flags and dues right, the receipt below at its fixed place."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from carelog.domain.moment import Instant
from carelog.text import say
from carelog.ui import times
from carelog.ui.board.acts import SlipActs
from carelog.ui.board.aside import Aside
from carelog.ui.board.order import Placed, on_board
from carelog.ui.board.receipt import Receipt
from carelog.ui.board.tile import TileButton
from carelog.ui.present import Present
from carelog.ui.repeats import Repeats
from carelog.ui.ringed import Scrolled
from carelog.ui.slip import Slip
from carelog.ui.slips import Slips
from carelog.ui.theme import BEDSIDE_TARGET, STEP

COLUMNS = 4
WIDEST_TILE = 360  # px; what a wide window has left goes to the right side
HIGHEST_TILE = 176
NARROWEST_ASIDE = 240
LEAST_TILES = 56  # px of the tiles that stay in sight above a receipt with large words

OpenForm = Callable[[str], None]


class Board(QWidget):
    """One press records; `open_form` is asked for kinds without a usual entry."""

    def __init__(
        self,
        present: Present,
        slips: Slips,
        acts: SlipActs,
        chosen: Sequence[str],
        open_form: OpenForm,
        complete: Callable[[Slip], None],
        go: Callable[[str], object],
    ) -> None:
        super().__init__()
        self.setObjectName("board")
        self._present = present
        self._slips = slips
        self._open_form = open_form
        self._go = go
        self._repeats = Repeats()
        self._arranged: tuple[int, bool, int] | None = None
        self.chosen = tuple(chosen)
        self.placed = on_board(chosen)
        self.tiles = [self._tile(placed) for placed in self.placed]
        self.more = TileButton("more", say("More"), is_at_once=False)
        self.more.show_last(say("everything else"))
        self.more.clicked.connect(lambda: go("more"))
        self.aside = Aside(present, slips, go)
        self.receipt = Receipt(present, slips, acts, complete)
        self._lay_out()
        present.when_changed.append(self.refresh)
        self.refresh()

    def _tile(self, placed: Placed) -> TileButton:
        button = TileButton(placed.name, say(placed.tile.words), is_at_once=placed.is_at_once)
        button.clicked.connect(lambda: self.press(placed, button.taken_stamp()))
        return button

    def _lay_out(self) -> None:
        body = QWidget()
        self._grid = QGridLayout(body)
        self._grid.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        self._grid.setSpacing(STEP)
        self._scrolled = Scrolled(body, say("Tiles"))
        self._scrolled.setMinimumHeight(1)  # the receipt comes first where there is no room for both
        # Where the board opens, so that a second Return from a form records nothing; Tab has no use for it.
        self._scrolled.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self._scrolled.installEventFilter(self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(STEP)
        layout.addWidget(self._scrolled, 1)
        frame = QVBoxLayout()
        frame.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        frame.addWidget(self.receipt)
        layout.addLayout(frame)

    @property
    def landing(self) -> QWidget:
        """What has the focus when the board is opened: nothing that would record."""
        return self._scrolled

    def set_tiles(self, chosen: Sequence[str]) -> None:
        """Other tiles, or another order, as the household chose."""
        for tile in self.tiles:
            self._grid.removeWidget(tile)
            tile.setParent(None)
            tile.deleteLater()
        self.chosen = tuple(chosen)
        self.placed = on_board(chosen)
        self.tiles = [self._tile(placed) for placed in self.placed]
        self._arranged = None
        self._arrange()
        self.refresh()

    # Presses --------------------------------------------------------------------------------------

    def press(self, placed: Placed, stamp: int | None) -> None:
        """A tile or its key was pressed at the time of an input event (ms)."""
        if not self._repeats.is_new(placed.name, stamp):
            self._slips.press_again()
        elif placed.tile.records is None:
            self._open_form(placed.kind.name)
        else:
            self._slips.press(placed.kind.name, placed.tile.records)

    def press_number(self, number: int, stamp: int | None) -> bool:
        """The key of the tile at a place, from 1; False when there is none."""
        if not 1 <= number <= len(self.placed):
            return False
        self.press(self.placed[number - 1], stamp)
        return True

    # What it shows --------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the last times, the flags and the dues of now."""
        now = self._present.now()
        for placed, tile in zip(self.placed, self.tiles, strict=True):
            tile.show_last(last_words(self._present, placed, now))
        self.aside.refresh()

    # Arranging ------------------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize:
            self._arrange()
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.receipt.set_room(max(self.height() - LEAST_TILES - STEP, 1))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._arrange()

    def _arrange(self) -> None:
        """Fewer columns where words would be cut; the right side goes below where it has no room."""
        room = self.width() - 4 * STEP
        tile = max(each.needed_width() for each in [*self.tiles, self.more])
        columns = max(min(COLUMNS, (room + STEP) // (tile + STEP)), 1)
        is_beside = columns == COLUMNS and room - columns * (tile + STEP) >= NARROWEST_ASIDE
        if (columns, is_beside, tile) != self._arranged:
            self._arranged = columns, is_beside, tile
            self._place(columns, is_beside, tile)
        rows = -(-(len(self.tiles) + 1) // columns)
        height = (self._scrolled.height() - (rows + 1) * STEP) // rows if is_beside else BEDSIDE_TARGET
        for row in range(rows):
            self._grid.setRowMinimumHeight(row, min(max(height, BEDSIDE_TARGET), HIGHEST_TILE))

    def _place(self, columns: int, is_beside: bool, tile: int) -> None:
        tiles = [*self.tiles, self.more]
        for widget in (*tiles, self.aside):
            self._grid.removeWidget(widget)
        for index, each in enumerate(tiles):
            self._grid.addWidget(each, index // columns, index % columns)
            each.setMaximumWidth(max(WIDEST_TILE, tile))
            each.show()
        rows = -(-len(tiles) // columns)
        for row in range(len(tiles) + 2):
            self._grid.setRowMinimumHeight(row, 0)
            self._grid.setRowStretch(row, 1 if row == rows + 1 else 0)
        for column in range(COLUMNS + 1):
            self._grid.setColumnStretch(column, 1 if column < columns else 0)
            self._grid.setColumnMinimumWidth(column, tile if column < columns else 0)
        if is_beside:
            self._grid.addWidget(self.aside, 0, columns, rows + 2, 1)
            self._grid.setColumnStretch(columns, 2)
        else:
            self._grid.addWidget(self.aside, rows, 0, 1, columns)


def last_words(present: Present, placed: Placed, now: Instant) -> str:
    """When a tile's kind was recorded last and by whom; what isn't read is said not to be."""
    picture = present.picture
    if picture is None:
        return say("not read yet")
    held = present.lasts.get(placed.name)
    if held is None:
        return say("not recorded yet")
    when = times.near(picture.home, held.time, now)
    return f"{when}\N{NO-BREAK SPACE}{held.first.by}" if held.first.by else when
