"""A note in free words."""

from carelog.domain.field import Field, YesNo
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

NOTE = Kind(
    name="note",
    title=mark("Note"),
    fields=(Field("for_next", mark("For the next"), YesNo(mark("left for the next"), "")),),
    tiles=(Tile(mark("Note"), place=10),),
    is_frequent=True,
    draw=Draw.WORDS,
    export=Export("Communication"),
    needs_note=True,
)
