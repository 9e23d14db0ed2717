"""A speaking valve or a cap put on or taken off."""

from carelog.domain.field import Field, YesNo, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

VALVE = Kind(
    name="valve",
    title=mark("Valve"),
    fields=(
        Field("cuff_down", mark("Is the cuff fully down?"), YesNo(mark("cuff down"), mark("cuff not down"))),
        Field("what", "", choice(("valve", mark("speaking valve")), ("cap", mark("cap")))),
        Field("action", "", choice(("on", mark("on")), ("off", mark("off"))), required=True),
    ),
    tiles=(Tile(mark("Valve")),),
    draw=Draw.WORDS,
    export=Export("Procedure"),
)
