"""A registration that keeps help coming: power, ambulance, supplier."""

from carelog.domain.field import Date, Field, Text, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

REGISTRATION = Kind(
    name="registration",
    title=mark("Registration"),
    fields=(
        Field(
            "what",
            "",
            choice(
                ("electricity_priority", mark("power company's list")),
                ("ambulance", mark("ambulance service")),
                ("supplier", mark("supplier")),
                ("other", mark("other")),
            ),
            required=True,
            asked=mark("What"),
        ),
        Field("since", mark("since"), Date()),
        Field("renew_by", mark("renew by"), Date()),
        Field("reference", mark("reference"), Text()),
    ),
    tiles=(Tile(mark("Registration")),),
    draw=Draw.SETTING,
    export=Export("Observation"),
)
