"""Days of illness, from which the person's usual isn't learnt."""

from carelog.domain.field import Field, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

ILL = Kind(
    name="ill",
    title=mark("Illness"),
    is_weighty=True,
    fields=(
        Field(
            "action",
            "",
            choice(("start", mark("start")), ("end", mark("end"))),
            required=True,
            asked=mark("Start or end"),
        ),
    ),
    tiles=(Tile(mark("Illness")),),
    draw=Draw.WORDS,
    export=Export("Observation"),
)
