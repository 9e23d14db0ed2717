"""A carer's shift begins or ends; at its end, what was looked at and didn't need doing."""

from carelog.domain.field import KIND_NAME, Field, ListOf, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

SHIFT = Kind(
    name="shift",
    title=mark("Shift"),
    is_frequent=True,
    fields=(
        Field(
            "action",
            "",
            choice(("start", mark("start")), ("end", mark("end"))),
            required=True,
            asked=mark("Start or end"),
        ),
        Field("nothing_needed", mark("looked, nothing needed"), ListOf(KIND_NAME)),
    ),
    tiles=(Tile(mark("Shift")),),
    draw=Draw.WORDS,
    export=Export("Observation"),
)
