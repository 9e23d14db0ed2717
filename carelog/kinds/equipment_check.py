"""A machine checked: does it work, what vacuum, how long on its battery."""

from carelog.domain.field import Date, Field, Number, Text, YesNo, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.kinds.words import vacuum_fields
from carelog.text import mark

EQUIPMENT_CHECK = Kind(
    name="equipment_check",
    title=mark("Equipment check"),
    is_care=True,
    is_clockwork=True,
    is_frequent=True,
    fields=(
        Field(
            "device",
            "",
            choice(
                ("suction_machine", mark("suction machine")),
                ("suction_backup", mark("backup suction")),
                ("nebuliser", mark("nebuliser")),
                ("humidifier", mark("humidifier")),
                ("other", mark("other device")),
            ),
            required=True,
            asked=mark("Device"),
        ),
        Field("name", mark("name"), Text(), help=mark("Which one, if there are several?")),
        Field("works", mark("Works"), YesNo(mark("works"), mark("doesn't work")), required=True),
        *vacuum_fields(),
        Field(
            "on_battery_min",
            mark("on battery"),
            Number(unit="min", ask_below=0, ask_above=1440),
            help=mark("How long did it run unplugged?"),
        ),
        Field("charged", mark("Charged"), YesNo(mark("charged"), mark("not charged"))),
        Field("canister", mark("canister"), choice(("emptied", mark("emptied")), ("full", mark("full")))),
        Field(
            "filter_changed",
            mark("Filter changed"),
            YesNo(mark("filter changed"), mark("filter not changed")),
        ),
        Field("next_service", mark("next service"), Date()),
        Field("given_back", mark("Given back"), YesNo(mark("given back"), mark("not given back"))),
    ),
    tiles=(Tile(mark("Equipment check")),),
    draw=Draw.DOINGS,
    export=Export("Observation"),
)
