"""Which tiles stand on the board and in which order; use and dues never change it."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from carelog.domain.kind import Kind, Tile
from carelog.kinds import ALL
from carelog.ui.board.plate import Plate, names_in_order


@dataclass(frozen=True, slots=True)
class Placed:
    """A tile by the name that settings and tests know it by."""

    name: str
    kind: Kind
    tile: Tile

    @property
    def is_at_once(self) -> bool:
        """Whether one press records it."""
        return self.tile.records is not None

    @property
    def glyph(self) -> str:
        """The name of the drawing on it."""
        return self.tile.glyph or self.kind.name

    @property
    def plate(self) -> Plate:
        """What stands on it whatever the record holds."""
        tile = self.tile
        return Plate(self.name, self.kind.name, tile.words, self.glyph, self.is_at_once, tile.place)


@cache
def every_tile() -> tuple[Placed, ...]:
    """All tiles of all kinds; the second one of a kind has its value in its name."""
    return tuple(
        Placed(kind.name if number == 0 else f"{kind.name}_{tile.value}", kind, tile)
        for kind in ALL
        for number, tile in enumerate(kind.tiles)
    )


def tile_named(name: str) -> Placed:
    """The tile of this name; `LookupError` where there is none."""
    found = next((placed for placed in every_tile() if placed.name == name), None)
    if found is None:
        raise LookupError(name)
    return found


def usual() -> list[str]:
    """The names of the tiles on a board that nobody has arranged."""
    return names_in_order(placed.plate for placed in every_tile())


def on_board(chosen: Sequence[str]) -> list[Placed]:
    """The board's tiles in the household's order, or in the usual one."""
    known = {placed.name: placed for placed in every_tile()}
    return [known[name] for name in chosen or usual() if name in known]


def under_more(chosen: Sequence[str]) -> list[Placed]:
    """The tiles that aren't on the board."""
    shown = {placed.name for placed in on_board(chosen)}
    return [placed for placed in every_tile() if placed.name not in shown]


def without_tile() -> list[Kind]:
    """Kinds that are typed in from a list of their own: who the person is, whom to call, who records."""
    return [kind for kind in ALL if not kind.tiles and not kind.has_page]
