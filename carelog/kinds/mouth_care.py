"""Mouth care given."""

from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

MOUTH_CARE = Kind(
    name="mouth_care",
    title=mark("Mouth care"),
    tiles=(Tile(mark("Mouth care"), {}),),
    draw=Draw.DOINGS,
    export=Export("Procedure"),
)
