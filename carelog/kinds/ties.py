"""The ties checked or changed."""

from carelog.domain.field import Field, choice
from carelog.domain.kind import Draw, Export, Kind, Pick, Tile
from carelog.text import mark

TIES = Kind(
    name="ties",
    title=mark("Ties"),
    is_care=True,
    in_short=("fit",),
    is_clockwork=True,
    is_frequent=True,
    fields=(
        Field(
            "action",
            "",
            choice(("checked", mark("checked")), ("changed", mark("changed"))),
            required=True,
            asked=mark("What was done"),
        ),
        Field(
            "fit",
            mark("fit"),
            choice(
                ("one_finger", mark("one finger fits")), ("loose", mark("loose")), ("tight", mark("tight"))
            ),
        ),
    ),
    tiles=(Tile(mark("Ties checked"), {"action": "checked"}, place=5),),
    picks=(Pick("fit", "one_finger"), Pick("fit", "loose"), Pick("fit", "tight")),
    draw=Draw.DOINGS,
    export=Export("Procedure", has_findings=False),
)
