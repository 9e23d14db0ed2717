"""A note in free words."""

from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

NOTE = Kind(
    name="note",
    title=mark("Note"),
    tiles=(Tile(mark("Note")),),
    draw=Draw.WORDS,
    export=Export("Communication"),
    needs_note=True,
)
