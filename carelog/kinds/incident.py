"""Something that went wrong, or the end of it."""

from carelog.domain.field import Field, Reference, Text, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

INCIDENT = Kind(
    name="incident",
    title=mark("Incident"),
    is_care=True,
    ends_with_contact=True,
    is_weighty=True,
    fields=(
        Field(
            "what",
            "",
            choice(
                ("tube_out", mark("tube out")),
                ("tube_blocked", mark("tube blocked")),
                ("bleeding", mark("bleeding")),
                ("breathing", mark("breathing hard")),
                ("power_cut", mark("power cut")),
                ("equipment", mark("equipment failed")),
                ("other", mark("other")),
            ),
            required=True,
            asked=mark("What"),
        ),
        Field(
            "called",
            mark("called"),
            choice(
                ("nobody", mark("nobody")),
                ("team", mark("the team")),
                ("emergency", mark("the emergency number")),
            ),
        ),
        Field("outcome", mark("outcome"), Text(long=True)),
        Field("ends", mark("ends the incident"), Reference("incident")),
    ),
    tiles=(Tile(mark("Incident"), place=11),),
    draw=Draw.WORDS,
    export=Export("Observation"),
)
