"""Which tiles stand on the board and in which order; use and dues never change it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from carelog.domain.kind import Kind, Tile
from carelog.kinds import ALL, kind_named

USUAL = (
    "suction",
    "inner_tube",
    "humidity",
    "mouth_care",
    "ties",
    "cuff_pressure",
    "stoma",
    "valve",
    "observations",
    "note",
    "incident",
)
"""Object names without “tile_”: those that record at once first, then those that open a form."""


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


def every_tile() -> Iterator[Placed]:
    """All tiles of all kinds; the second one of a kind has its value in its name."""
    for kind in ALL:
        for number, tile in enumerate(kind.tiles):
            yield Placed(kind.name if number == 0 else f"{kind.name}_{tile.value}", kind, tile)


def on_board(chosen: Sequence[str]) -> list[Placed]:
    """The board's tiles in the household's order, or in the usual one."""
    known = {placed.name: placed for placed in every_tile()}
    return [known[name] for name in chosen or USUAL if name in known]


def under_more(chosen: Sequence[str]) -> list[Placed]:
    """The tiles that aren't on the board."""
    shown = {placed.name for placed in on_board(chosen)}
    return [placed for placed in every_tile() if placed.name not in shown]


def without_tile() -> list[Kind]:
    """Kinds that are typed in from a page of their own list: who the person is, whom to call, who records."""
    names = ("answer", "person", "contact", "recorder", "phrase")
    return [kind for kind in map(kind_named, names) if kind is not None]
