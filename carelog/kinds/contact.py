"""Somebody to call."""

from carelog.domain.field import Field, Text, choice
from carelog.domain.kind import Draw, Export, Kind
from carelog.text import mark

CONTACT = Kind(
    name="contact",
    title=mark("Contact"),
    has_time=False,
    is_lasting=True,
    fields=(
        Field("role", "", Text(), required=True, asked=mark("Role")),
        Field("name", "", Text(), asked=mark("Name")),
        Field("phone", mark("phone"), Text(), required=True),
        Field("when", mark("when"), Text()),
        Field(
            "for",
            mark("for"),
            choice(
                ("emergency", mark("an emergency")),
                ("night", mark("the night")),
                ("team", mark("the team")),
                ("supplies", mark("supplies")),
                ("power", mark("power")),
                ("family", mark("family")),
            ),
        ),
    ),
    draw=Draw.SETTING,
    export=Export("Patient"),
)
