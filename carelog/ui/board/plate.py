"""One tile as it is painted, and the order in which tiles stand unless somebody has arranged them."""

from collections.abc import Iterable
from typing import NamedTuple


class Plate(NamedTuple):
    """One tile; making a dataclass would take five times as long, and the first paint waits for it."""

    name: str
    """By which settings and tests know it."""
    kind: str
    words: str
    glyph: str
    """The name of its drawing."""
    is_at_once: bool
    """Whether one press records it."""
    place: int
    """Its place on a board that nobody has arranged, from 1; 0: under “More”."""


def names_in_order(plates: Iterable[Plate]) -> list[str]:
    """The names of the tiles on a board that nobody has arranged."""
    return [each.name for each in sorted(plates, key=lambda each: each.place) if each.place]
