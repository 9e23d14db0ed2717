"""Hot water in the thermos: a kind that nothing knows, for the test that a kind is a module and a line."""

from carelog.domain.field import Field, Number, Text, YesNo, choice
from carelog.domain.kind import Draw, Kind, Tile
from carelog.text import mark

THERMOS = Kind(
    name="thermos",
    title=mark("Thermos"),
    fields=(
        Field(
            "filled",
            "",
            choice(("full", mark("filled up")), ("half", mark("half full"))),
            required=True,
            asked=mark("How full"),
        ),
        Field("litres", mark("holds"), Number(unit="L", low=0)),
        Field("hot", mark("Hot"), YesNo(mark("still hot"), mark("cold"))),
        Field("shelf", mark("on the shelf"), Text()),
    ),
    tiles=(Tile(mark("Thermos")),),
    draw=Draw.DOINGS,
)
