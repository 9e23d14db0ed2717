"""The spare-tube box checked."""

from carelog.domain.field import Field, Group, MapOf, Number
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.kinds.words import CUFF, EXPIRY, ITEM, ITEMS
from carelog.text import mark

SPARE = Group(
    (
        Field("id_mm", mark("ID"), Number(unit="mm", ask_below=2.5, ask_above=11)),
        Field("cuff", mark("cuff"), CUFF),
        Field("expiry", mark("expiry"), EXPIRY),
    )
)

BOX_CHECK = Kind(
    name="box_check",
    title=mark("Spare-tube box check"),
    is_care=True,
    is_clockwork=True,
    fields=(
        Field("present", mark("present"), ITEMS),
        Field("missing", mark("missing"), ITEMS),
        Field("opened", mark("opened"), ITEMS),
        Field("expiries", mark("expiries"), MapOf(ITEM, EXPIRY)),
        Field("spare_same", mark("spare of the same size"), SPARE),
        Field("spare_smaller", mark("smaller spare"), SPARE),
    ),
    tiles=(Tile(mark("Spare-tube box check")),),
    draw=Draw.DOINGS,
    export=Export("Observation"),
)
