"""The tube was taken out for good."""

from carelog.domain.field import Field, Text, YesNo
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

DECANNULATION = Kind(
    name="decannulation",
    title=mark("Tube taken out for good"),
    is_weighty=True,
    is_lasting=True,
    fields=(
        Field("done_by", mark("done by"), Text()),
        Field("planned", mark("Planned"), YesNo(mark("planned"), mark("not planned"))),
    ),
    tiles=(Tile(mark("Tube taken out for good")),),
    draw=Draw.WORDS,
    export=Export("Procedure"),
)
