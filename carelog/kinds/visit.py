"""The nurse looked at the record, and may have signed the week."""

from carelog.domain.field import WEEK, Field, Text, YesNo
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

VISIT = Kind(
    name="visit",
    title=mark("Nurse's visit"),
    fields=(
        Field("nurse", mark("nurse"), Text(), required=True),
        Field("week", mark("week"), WEEK),
        Field("signed", mark("Signed"), YesNo(mark("signed"), mark("not signed"))),
    ),
    tiles=(Tile(mark("Nurse's visit")),),
    draw=Draw.WORDS,
    export=Export("Encounter"),
)
