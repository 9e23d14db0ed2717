"""Leaving home with the box, and back."""

from carelog.domain.field import Field, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.kinds.words import ITEMS
from carelog.text import mark

OUTING = Kind(
    name="outing",
    title=mark("Outing"),
    fields=(
        Field("action", "", choice(("leaving", mark("leaving")), ("back", mark("back"))), required=True),
        Field("packed", mark("packed"), ITEMS),
        Field("missing", mark("missing"), ITEMS),
    ),
    tiles=(Tile(mark("Outing")),),
    draw=Draw.WORDS,
    export=Export("Observation"),
)
