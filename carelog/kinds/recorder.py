"""Who writes entries."""

from carelog.domain.field import Field, Text, choice
from carelog.domain.kind import Draw, Export, Kind
from carelog.text import mark

RECORDER = Kind(
    name="recorder",
    title=mark("Who records"),
    has_time=False,
    is_lasting=True,
    fields=(
        Field("initials", "", Text(), required=True, asked=mark("Initials")),
        Field("name", "", Text(), asked=mark("Name")),
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
    draw=Draw.SETTING,
    export=Export("Practitioner"),
)
