"""Everything that can be recorded and has no tile on the board."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.board.face import FaceState
from carelog.ui.board.order import under_more, without_tile
from carelog.ui.board.tile import TileButton
from carelog.ui.board.told import state_of
from carelog.ui.present import Present
from carelog.ui.repeats import Repeats
from carelog.ui.ringed import Scrolled
from carelog.ui.slips import Slips
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words


class More(QWidget):
    """The other tiles, in the kinds' own order."""

    def __init__(
        self,
        present: Present,
        slips: Slips,
        chosen: Sequence[str],
        open_form: Callable[[str], None],
        go: Callable[[str], None],
    ) -> None:
        super().__init__()
        self._present = present
        self._slips = slips
        self._go = go
        self._repeats = Repeats()
        self._open_form = open_form
        self._columns = 0
        self._placed = under_more(chosen)
        self._tiles = [self._tile(number) for number in range(len(self._placed))]
        self._others = [self._other(kind.name, say(kind.title)) for kind in without_tile()]
        body = QWidget()
        self._grid = QGridLayout(body)
        self._grid.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        self._grid.setSpacing(STEP)
        self._heading = Words(say("More to record"), Size.HEAD)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(Scrolled(body, say("More to record")))

    def _tile(self, number: int) -> TileButton:
        placed = self._placed[number]
        words, is_at_once = say(placed.tile.words), placed.is_at_once
        button = TileButton(placed.name, words, placed.glyph, is_at_once=is_at_once)
        button.clicked.connect(lambda: self._press(number, button.taken_stamp()))
        return button

    def _other(self, name: str, words: str) -> TileButton:
        button = TileButton(name, words, name, is_at_once=False)
        button.show_state(FaceState())
        button.clicked.connect(lambda: self._open_form(name))
        return button

    def _press(self, number: int, stamp: int | None) -> None:
        placed = self._placed[number]
        if not self._repeats.is_new(placed.name, stamp):
            self._slips.press_again()
        elif placed.tile.records is None:
            self._open_form(placed.kind.name)
        else:
            self._slips.press(placed.kind.name, placed.tile.records)
            self._go("board")

    def opened(self) -> None:
        """Show the last times."""
        now = self._present.now()
        for placed, tile in zip(self._placed, self._tiles, strict=True):
            tile.show_state(state_of(self._present, placed.name, now))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._arrange()

    def _arrange(self) -> None:
        tiles = [*self._tiles, *self._others]
        width = max(tile.needed_width() for tile in tiles)
        columns = max(min(5, (self.width() - 5 * STEP) // (width + STEP)), 1)
        if columns == self._columns:
            return
        self._columns = columns
        self._grid.addWidget(self._heading, 0, 0, 1, columns)
        for number, tile in enumerate(tiles):
            self._grid.addWidget(tile, 1 + number // columns, number % columns)
        for column in range(5):
            self._grid.setColumnStretch(column, 1 if column < columns else 0)
