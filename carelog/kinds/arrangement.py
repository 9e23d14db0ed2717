"""Something to be arranged before coming home, or later: by whom, by when."""

from carelog.domain.field import Date, Field, Text, YesNo
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

ARRANGEMENT = Kind(
    name="arrangement",
    title=mark("Arrangement"),
    fields=(
        Field("what", "", Text(), required=True, asked=mark("What")),
        Field("who", mark("who"), Text()),
        Field("by", mark("by"), Date()),
        Field("done", mark("Done"), YesNo(mark("done"), mark("not done yet"))),
    ),
    tiles=(Tile(mark("Arrangement")),),
    draw=Draw.SETTING,
    export=Export("Observation"),
)
