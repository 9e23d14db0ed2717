"""The cuff put up or let down."""

from carelog.domain.field import Field, YesNo, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

CUFF_STATE = Kind(
    name="cuff_state",
    title=mark("Cuff up or down"),
    is_care=True,
    told_by="state",
    is_frequent=True,
    fields=(
        Field("state", mark("cuff"), choice(("up", mark("up")), ("down", mark("down"))), required=True),
        Field("voice_heard", mark("Voice heard"), YesNo(mark("voice heard"), mark("no voice heard"))),
    ),
    tiles=(Tile(mark("Cuff up or down")),),
    draw=Draw.WORDS,
    export=Export("Procedure"),
)
