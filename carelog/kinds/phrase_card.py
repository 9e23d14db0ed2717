"""A phrase on a card, to be shown instead of said."""

from carelog.domain.field import Field, Number, Text
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

PHRASE_CARD = Kind(
    name="phrase_card",
    title=mark("Phrase card"),
    fields=(
        Field("text", "", Text(long=True), required=True, asked=mark("Words")),
        Field("place", mark("place"), Number(whole=True)),
        Field("page", mark("page"), Text()),
        Field("also", mark("in the other language"), Text(long=True)),
    ),
    tiles=(Tile(mark("Phrase card")),),
    draw=Draw.SETTING,
    export=Export("Communication"),
)
