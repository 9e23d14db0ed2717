"""A stay away from home: nothing is asked for meanwhile."""

from carelog.domain.field import Field, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

STAY = Kind(
    name="stay",
    title=mark("Stay away from home"),
    fields=(
        Field(
            "action",
            "",
            choice(("start", mark("start")), ("end", mark("end"))),
            required=True,
            asked=mark("What was done"),
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
    tiles=(Tile(mark("Stay away from home")),),
    draw=Draw.WORDS,
    export=Export("Encounter"),
)
