"""A task of care that somebody was shown, or has done alone."""

from carelog.domain.field import Date, Field, Text, YesNo
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

TRAINING = Kind(
    name="training",
    title=mark("Training"),
    fields=(
        Field("task", "", Text(), required=True, asked=mark("Task")),
        Field("who", mark("who"), Text(), required=True),
        Field("shown_by", mark("shown by"), Text()),
        Field("done_alone", mark("Done alone"), YesNo(mark("done alone"), mark("not done alone yet"))),
        Field("again_by", mark("again by"), Date()),
    ),
    tiles=(Tile(mark("Training")),),
    draw=Draw.SETTING,
    export=Export("Observation"),
)
