"""Mouth care given."""

from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

MOUTH_CARE = Kind(
    name="mouth_care",
    title=mark("Mouth care"),
    is_care=True,
    is_clockwork=True,
    tiles=(Tile(mark("Mouth care"), {}, place=4),),
    is_frequent=True,
    draw=Draw.DOINGS,
    export=Export("Procedure", has_findings=False),
)
