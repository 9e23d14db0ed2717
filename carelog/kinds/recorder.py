"""Who writes entries."""

from carelog.domain.field import Field, Text, choice
from carelog.domain.kind import Draw, Export, Kind
from carelog.text import mark

RECORDER = Kind(
    name="recorder",
    title=mark("Who records"),
    fields=(
        Field("initials", "", Text(), required=True),
        Field("name", "", Text()),
        Field(
            "role",
            mark("role"),
            choice(
                ("self", mark("the person")),
                ("relative", mark("relative")),
                ("carer", mark("carer")),
                ("nurse", mark("nurse")),
            ),
        ),
    ),
    draw=Draw.STANDING,
    export=Export("Practitioner"),
)
