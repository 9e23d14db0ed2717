"""Who lives with the tracheostomy."""

from carelog.domain.field import ZONE, Date, Field, Text, YesNo, choice
from carelog.domain.kind import Draw, Export, Kind
from carelog.text import mark

PERSON = Kind(
    name="person",
    title=mark("The person"),
    has_time=False,
    is_lasting=True,
    fields=(
        Field("name", mark("name"), Text(), required=True),
        Field("born", mark("born"), Date()),
        Field("home_zone", mark("home zone"), ZONE),
        Field(
            "invented",
            mark("A made-up household"),
            YesNo(mark("made-up household"), mark("a real household")),
            is_asked=False,
        ),
        Field(
            "upper_airway",
            mark("Can air pass by mouth and nose?"),
            choice(("open", mark("yes")), ("partly", mark("partly")), ("none", mark("no"))),
        ),
        Field(
            "helped_by",
            mark("helped by"),
            choice(
                ("nothing", mark("nothing")),
                ("oxygen", mark("oxygen")),
                ("ventilator_at_night", mark("a ventilator at night")),
                ("ventilator_always", mark("a ventilator always")),
            ),
        ),
        Field("allergies", mark("allergies"), Text(long=True)),
        Field("swallow", mark("swallowing"), Text(long=True)),
        Field("communication", mark("communication"), Text(long=True)),
        Field("reason", mark("reason for the tracheostomy"), Text(long=True)),
        Field("emergency_plan", mark("emergency plan"), Text(long=True)),
    ),
    draw=Draw.SETTING,
    export=Export("Patient"),
)
