"""The household's own lines: what to take along, what to do in a power cut."""

from carelog.domain.field import Field, ListOf, Text, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

CHECKLIST = Kind(
    name="checklist",
    title=mark("Own list"),
    fields=(
        Field(
            "list",
            "",
            choice(
                ("going_out", mark("going out")),
                ("car", mark("in the car")),
                ("hospital_bag", mark("hospital bag")),
                ("power_cut", mark("power cut")),
                ("other", mark("other")),
            ),
            required=True,
            asked=mark("List"),
        ),
        Field("items", "", ListOf(Text()), required=True, asked=mark("Lines")),
    ),
    tiles=(Tile(mark("Own list")),),
    draw=Draw.SETTING,
    export=Export("Observation"),
)
