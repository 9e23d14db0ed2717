"""Which tiles stand on the board and where: chosen by the household, never by use."""

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.board.order import every_tile, on_board, usual
from carelog.ui.button import Button, ChoiceButton
from carelog.ui.column import row
from carelog.ui.preferences import Preferences
from carelog.ui.theme import Size
from carelog.ui.words import Words

MOST = 11
"""With “More” they make twelve."""


class TileChoice(QWidget):
    """The board's tiles in their order, each with “earlier” and “take away”, then those to add."""

    def __init__(self, preferences: Preferences) -> None:
        super().__init__()
        self._preferences = preferences
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._body: QWidget | None = None
        self._fill()

    def _names(self) -> list[str]:
        return [placed.name for placed in on_board(self._preferences.now.tiles)]

    def _fill(self) -> None:
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        names = self._names()
        for place, placed in enumerate(on_board(self._preferences.now.tiles)):
            words = say(placed.tile.words)
            earlier = Button(say("earlier"), f"earlier_{placed.name}")
            earlier.setAccessibleName(say("{tile} earlier").format(tile=words))
            earlier.setEnabled(place > 0)
            earlier.clicked.connect(lambda _=False, at=place: self._earlier(at))
            away = Button(say("take away"), f"away_{placed.name}")
            away.setAccessibleName(say("take away: {tile}").format(tile=words))
            away.setEnabled(len(names) > 1)
            away.clicked.connect(lambda _=False, at=place: self._away(at))
            column.addWidget(row(earlier, away, Words(f"{place + 1}. {words}", Size.STRONG, wraps=False)))
        others = [each for each in every_tile() if each.name not in names]
        if len(names) < MOST and others:
            column.addWidget(Words(say("Add to the board:")))
            buttons = []
            for each in others:
                button = ChoiceButton(say(each.tile.words), f"add_{each.name}")
                button.setCheckable(False)
                button.clicked.connect(lambda _=False, name=each.name: self._set([*self._names(), name]))
                buttons.append(button)
            column.addWidget(row(*buttons))
        back = Button(say("Back to the usual tiles"), "tiles_usual")
        back.clicked.connect(lambda: self._set(usual()))
        column.addWidget(row(back))
        if self._body is not None:
            self._layout.removeWidget(self._body)
            self._body.setParent(None)
            self._body.deleteLater()
        self._body = body
        self._layout.addWidget(body)

    def _earlier(self, place: int) -> None:
        names = self._names()
        names[place - 1], names[place] = names[place], names[place - 1]
        self._set(names)

    def _away(self, place: int) -> None:
        names = self._names()
        del names[place]
        self._set(names)

    def _set(self, names: list[str]) -> None:
        self._preferences.change(tiles=() if names == usual() else tuple(names))
        self._fill()
