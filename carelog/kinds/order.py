"""Supplies ordered."""

from carelog.domain.field import Date, Field, Number, Text
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

ORDER = Kind(
    name="order",
    title=mark("Order"),
    fields=(
        Field("item", "", Text(), required=True, asked=mark("Item")),
        Field("count", mark("how many"), Number(), required=True),
        Field("supplier", mark("from"), Text()),
        Field("expected", mark("expected"), Date()),
    ),
    tiles=(Tile(mark("Order")),),
    draw=Draw.WORDS,
    export=Export("Observation"),
)
