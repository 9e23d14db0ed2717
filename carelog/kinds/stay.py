"""A stay away from home: nothing is asked for meanwhile."""

from carelog.domain.field import Field, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

STAY = Kind(
    name="stay",
    title=mark("Hospital or respite stay"),
    is_weighty=True,
    is_lasting=True,
    fields=(
        Field(
            "action",
            "",
            choice(("start", mark("start")), ("end", mark("end"))),
            required=True,
            asked=mark("Start or end"),
        ),
        Field(
            "where",
            "",
            choice(
                ("hospital", mark("hospital")), ("respite", mark("respite")), ("other", mark("elsewhere"))
            ),
            asked=mark("Where"),
        ),
    ),
    tiles=(Tile(mark("Hospital or respite stay")),),
    draw=Draw.WORDS,
    export=Export("Observation"),
)
