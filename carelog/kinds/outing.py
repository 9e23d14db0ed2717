"""Leaving home with the box, and back."""

from carelog.domain.field import Field, Number, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.kinds.words import ITEMS_OR_LINES
from carelog.text import mark

OUTING = Kind(
    name="outing",
    title=mark("Outing"),
    fields=(
        Field(
            "action",
            "",
            choice(("leaving", mark("leaving")), ("back", mark("back"))),
            required=True,
            asked=mark("Leaving or back"),
        ),
        Field("packed", mark("packed"), ITEMS_OR_LINES),
        Field("missing", mark("missing"), ITEMS_OR_LINES),
        Field("hours", mark("planned for"), Number(unit="h", low=0)),
    ),
    tiles=(Tile(mark("Outing")),),
    draw=Draw.WORDS,
    export=Export("Observation"),
)
