"""Supplies counted, delivered or thrown away."""

from carelog.domain.entry import Details
from carelog.domain.field import Field, Number, Problem, Text, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.kinds.words import EXPIRY
from carelog.text import mark, say


def _one_of_two(details: Details) -> Problem | None:
    if ("count" in details) != ("delta" in details):
        return None
    return Problem("count", say("must be given, or delta in its place; never both"))


STOCK = Kind(
    name="stock",
    title=mark("Stock"),
    fields=(
        Field("item", "", Text(), required=True, asked=mark("Item")),
        Field("count", mark("counted"), Number()),
        Field("delta", mark("change"), Number()),
        Field(
            "reason",
            mark("reason"),
            choice(("count", mark("count")), ("delivery", mark("delivery")), ("waste", mark("waste"))),
        ),
        Field("pack_size", mark("pack size"), Number()),
        Field("expiry", mark("expiry"), EXPIRY),
        Field("per_day", mark("used a day"), Number()),
    ),
    tiles=(Tile(mark("Stock")),),
    check=_one_of_two,
    draw=Draw.WORDS,
    export=Export("Observation"),
)
