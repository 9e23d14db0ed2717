"""The board's page: tiles left, flags and dues right, the receipt below at its fixed place."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from carelog.text import mark, say
from carelog.ui.board.aside import Aside
from carelog.ui.board.face import NAMES, FaceState
from carelog.ui.board.plate import Plate
from carelog.ui.board.plates import on_board
from carelog.ui.board.receipt import Receipt
from carelog.ui.board.tile import TileButton
from carelog.ui.numbers import BY_ANY_MEANS, BY_CLICK
from carelog.ui.present import Present
from carelog.ui.repeats import Repeats
from carelog.ui.ringed import SCROLL_WIDTH, Scrolled
from carelog.ui.slip import Slip
from carelog.ui.slips import Slips
from carelog.ui.theme import BEDSIDE_TARGET, LARGE, STEP, percent_now

if TYPE_CHECKING:
    from carelog.ui.board.daystrip import DayStrip

COLUMNS = 4
HIGHEST_TILE = 256  # px at 100 %
STRIP_FROM = 1160  # px at 100 %: of a window of 1280, beside the rail
TILE_BY_STRIP = 112  # px at 100 %, the height of a tile that gives way to the strip at the most
ASIDE = (240, 420)  # px at 100 %, how narrow and how wide the right side may be
ASIDE_SHARE = 0.27
LEAST_TILES = 56  # px of the tiles that stay in sight above a receipt with large words
UNKNOWN = mark(
    "The program was exchanged while this window was open, and no longer knows this tile. "
    "Nothing was recorded. Close the window and open it again."
)

OpenForm = Callable[[str], None]


class Board(QWidget):
    """One press records; `open_form` is asked for kinds without a usual entry."""

    def __init__(
        self,
        present: Present,
        slips: Slips,
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
        self._untold: list[str] = []
        """Sentences of the first moments, in which nothing shows them yet."""
        self._tell: Callable[[str], None] = self._untold.append
        self._repeats = Repeats()
        self._strip: DayStrip | None = None
        self._arranged: tuple[int, int] | None = None
        self._is_fitted = False
        """Whether what the tiles tell was read when they were arranged."""
        self.chosen = tuple(chosen)
        self.placed = on_board(chosen)
        self.tiles = [self._tile(plate) for plate in self.placed]
        self.more = TileButton("more", say("More"), "others", is_at_once=False)
        self.more.show_state(FaceState((), (say("everything else"),)))
        self.more.clicked.connect(lambda: go("more"))
        self.aside = Aside(present, slips, go)
        self.receipt = Receipt(present, slips, complete)
        self._lay_out()
        present.when_changed.append(self.refresh)
        self.refresh()

    def _tile(self, plate: Plate) -> TileButton:
        button = TileButton(plate.name, say(plate.words), plate.glyph, is_at_once=plate.is_at_once)
        button.clicked.connect(lambda: self.press(plate, button.taken_stamp()))
        return button

    def _lay_out(self) -> None:
        body = QWidget()
        self._grid = QGridLayout(body)
        self._grid.setContentsMargins(2 * STEP, 0, STEP, 0)
        self._grid.setSpacing(STEP)
        self._scrolled = Scrolled(body, say("Tiles"))
        self._scrolled.setMinimumHeight(1)  # the receipt comes first where there is no room for both
        # Where the board opens, so that a second Return from a form records nothing; Tab has no use for it.
        self._scrolled.setProperty("focusPolicy", BY_CLICK)
        self._scrolled.installEventFilter(self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(STEP)
        right = QWidget()
        self._side = Scrolled(right, say("Flags and what is due"))
        self._side.setMinimumHeight(1)
        self._side.verticalScrollBar().rangeChanged.connect(self._on_side_range)
        self._beside = QVBoxLayout(right)
        self._beside.setContentsMargins(0, 0, STEP, 0)
        self._on_side_range(0, 0)
        upper = QHBoxLayout()
        layout.addLayout(upper, 1)
        upper.setContentsMargins(0, 0, STEP, 0)
        upper.setSpacing(0)
        upper.addWidget(self._scrolled, 1)
        upper.addWidget(self._side)
        frame = QVBoxLayout()
        layout.addLayout(frame)
        frame.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        frame.addWidget(self.receipt)
        self._frame = frame

    def _on_side_range(self, _least: int, most: int) -> None:
        """Tab stops at the right side only where there is something to scroll to."""
        self._side.setProperty("focusPolicy", BY_ANY_MEANS if most > 0 else BY_CLICK)

    def add_strip(self, strip: "DayStrip") -> None:
        """The day beneath the tiles, where there is room for it; it is made after the first paint."""
        self._strip = strip
        self._frame.insertWidget(0, strip)
        self._frame.setSpacing(STEP)
        self.refresh()

    def tell_by(self, tell: Callable[[str], None]) -> None:
        """Sentences are shown by this, and stay until somebody has read them; those from before too."""
        self._tell = tell
        while self._untold:
            tell(self._untold.pop(0))

    def _show_strip(self) -> None:
        if self._strip is None:
            return
        percent = percent_now()
        if self._present.strip is None or self.width() < STRIP_FROM * percent // 100:
            self._strip.hide()
            return
        self._strip.show_strip(self._present.strip)
        height = self._strip.sizeHint().height()
        rows = -(-(len(self.tiles) + 1) // COLUMNS)
        left = self.height() - self.receipt.sizeHint().height() - height - 3 * STEP
        has_room = left >= rows * (TILE_BY_STRIP * percent // 100 + STEP)
        self._strip.setVisible(has_room)

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
        self.tiles = [self._tile(plate) for plate in self.placed]
        self._arranged = None
        self._arrange()
        self.refresh()

    # Presses --------------------------------------------------------------------------------------

    def press(self, plate: Plate, stamp: int | None) -> None:
        """A tile or its key was pressed at the time of an input event (ms)."""
        self.tiles[self.placed.index(plate)].light()
        if not self._repeats.is_new(plate.name, stamp):
            self._slips.press_again()
            return
        from carelog.ui.board.order import tile_named  # what it records; its words were painted before

        try:
            records = tile_named(plate.name).tile.records
        except LookupError:  # the program's files were exchanged under the window that is open
            self._tell(say(UNKNOWN))
            return
        if records is None:
            self._open_form(plate.kind)
        else:
            self._slips.press(plate.kind, records)

    def press_number(self, number: int, stamp: int | None) -> bool:
        """The key of the tile at a place, from 1; False when there is none."""
        if not 1 <= number <= len(self.placed):
            return False
        self.press(self.placed[number - 1], stamp)
        return True

    # What it shows --------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the last times, the flags and the dues of now."""
        for plate, tile in zip(self.placed, self.tiles, strict=True):
            tile.show_state(self._state_of(plate))
        self._fit()
        self.aside.refresh()
        self._show_strip()

    def _fit(self) -> None:
        """Once what the tiles tell is read, they get the height for it; later none moves under a finger."""
        if self._present.picture is not None and not self._is_fitted:
            self._is_fitted = True
            if self._arranged is not None and self._arranged[1] == 0:  # where rows are as high as they need
                self._arrange()

    def _state_of(self, plate: Plate) -> FaceState:
        """What a tile tells beside its name; what isn't read is said not to be."""
        if self._present.picture is None:
            return FaceState((), (say("not read yet"),))
        from carelog.ui.board.told import state_of

        return state_of(self._present, plate.name, self._present.now())

    # Arranging ------------------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize:
            self._arrange()
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._show_strip()
        self._give_room()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._give_room()
            self._arrange()

    def _give_room(self) -> None:
        """How high the receipt may be: where letters are usual, the tiles stay whole above it."""
        tiles = LEAST_TILES
        if percent_now() < LARGE:
            rows = -(-(len(self.tiles) + 1) // COLUMNS)
            tiles = rows * (BEDSIDE_TARGET + STEP)
        self.receipt.set_room(max(self.height() - tiles - STEP, 1))

    def expect(self, width: int) -> None:
        """How wide it will be: told before, the tiles are not arranged anew."""
        self.resize(width, self.height())
        self._divide()

    def _arrange(self) -> None:
        columns, aside = self._divide()
        beside = aside + STEP if aside else SCROLL_WIDTH
        inner = self.width() - 4 * STEP - beside
        self._set_heights(columns, (inner - (columns - 1) * STEP) // columns, is_beside=aside > 0)

    def _divide(self) -> tuple[int, int]:
        """Fewer columns where words would be cut; the right side goes below where it has no room."""
        room = self.width() - 4 * STEP
        tile = max(each.needed_width() for each in [*self.tiles, self.more])
        columns = max(min(COLUMNS, (room + STEP) // (tile + STEP)), 1)
        least, most = (each * percent_now() // 100 for each in ASIDE)
        aside = min(max(round(room * ASIDE_SHARE), least), most)
        if columns < COLUMNS or room - columns * (tile + STEP) < least:
            aside = 0
        if (columns, aside) != self._arranged:
            self._arranged = columns, aside
            self._place(columns, aside)
        return columns, aside

    def _set_heights(self, columns: int, width: int, *, is_beside: bool) -> None:
        """Rows that fill the height, none lower than its tiles need in this width."""
        tiles = [*self.tiles, self.more]
        rows = -(-len(tiles) // columns)
        share = (self._scrolled.height() - (rows - 1) * STEP) // rows if is_beside else 0
        share = min(share, HIGHEST_TILE * percent_now() // 100)
        for row in range(rows):
            within = tiles[row * columns : (row + 1) * columns]
            least = max(each.needed_height(width) for each in within)
            for each in within:
                each.setMinimumHeight(min(least, max(share, BEDSIDE_TARGET)) if is_beside else least)
            self._grid.setRowMinimumHeight(row, max(share, within[0].minimumHeight()))
        self._level(width, max(share, BEDSIDE_TARGET))

    def _level(self, width: int, height: int) -> None:
        """One size of letters for the names of all tiles."""
        tiles = [*self.tiles, self.more]
        size = NAMES[max(each.wanted_size(width, max(height, each.minimumHeight())) for each in tiles)]
        for each in tiles:
            each.largest = size
            each.update()

    def _place(self, columns: int, aside: int) -> None:
        tiles = [*self.tiles, self.more]
        for widget in (*tiles, self.aside):
            self._grid.removeWidget(widget)
        for index, each in enumerate(tiles):
            self._grid.addWidget(each, index // columns, index % columns)
            each.show()
        rows = -(-len(tiles) // columns)
        for row in range(len(tiles) + 2):
            self._grid.setRowMinimumHeight(row, 0)
            self._grid.setRowStretch(row, 1 if row == rows + 1 else 0)
        for column in range(COLUMNS + 1):
            self._grid.setColumnStretch(column, 1 if column < columns else 0)
        self._side.setVisible(aside > 0)
        self._beside.removeWidget(self.aside)
        if aside:
            self._side.setFixedWidth(aside + STEP)
            self._beside.addWidget(self.aside)
        else:
            self._grid.addWidget(self.aside, rows, 0, 1, columns)
        self.aside.show()
