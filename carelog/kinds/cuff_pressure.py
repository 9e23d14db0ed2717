"""A cuff pressure as found, and as left if someone adjusted it."""

from carelog.domain.field import Field, Number
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.kinds.words import PRESSURE_UNIT
from carelog.text import mark

PRESSURE = Number(unit_field="unit", ask_below=0, ask_above=120, limit="cuff_pressure")
CUFF_PRESSURE = Kind(
    name="cuff_pressure",
    title=mark("Cuff pressure"),
    is_care=True,
    is_clockwork=True,
    is_frequent=True,
    in_short=("value", "value_after"),
    fields=(
        Field("value", mark("found at"), PRESSURE, required=True),
        Field("unit", mark("Unit"), PRESSURE_UNIT, required=True),
        Field("value_after", mark("left at"), PRESSURE),
    ),
    tiles=(Tile(mark("Cuff pressure"), place=6),),
    draw=Draw.READINGS,
    export=Export("Observation"),
)
