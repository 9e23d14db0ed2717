"""A tube placed, or one that could not be changed; the sizes are the tube's own, in mm (ISO 5366:2016)."""

from carelog.domain.entry import Details
from carelog.domain.field import Date, Field, Number, Text, YesNo, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.kinds.words import CUFF, EXPIRY
from carelog.text import mark


def _does(details: Details) -> bool:
    return bool(details.get("ease") != "failed")


TUBE_CHANGE = Kind(
    name="tube_change",
    title=mark("Tube change"),
    is_care=True,
    is_weighty=True,
    is_lasting=True,
    fields=(
        Field("id_mm", mark("ID"), Number(unit="mm", ask_below=2.5, ask_above=11), required=True),
        Field("od_mm", mark("OD"), Number(unit="mm", ask_below=3.5, ask_above=16)),
        Field("length_mm", mark("length"), Number(unit="mm", ask_below=25, ask_above=200)),
        Field("cuff", mark("cuff"), CUFF, required=True),
        Field("fenestrated", mark("Fenestrated"), YesNo(mark("fenestrated"), mark("not fenestrated"))),
        Field(
            "inner_tube",
            mark("inner tube"),
            choice(
                ("none", mark("none")), ("disposable", mark("disposable")), ("reusable", mark("reusable"))
            ),
            required=True,
        ),
        Field("inner_id_mm", mark("inner tube ID"), Number(unit="mm", ask_below=2, ask_above=10.5)),
        Field("size_mark", mark("on the flange"), Text()),
        Field("lot", mark("lot"), Text()),
        Field("expiry", mark("expiry"), EXPIRY),
        Field(
            "reason",
            mark("reason"),
            choice(
                ("planned", mark("planned")),
                ("blocked", mark("blocked")),
                ("displaced", mark("displaced")),
                ("damaged", mark("damaged")),
                ("first_entry", mark("first entry")),
            ),
        ),
        Field(
            "ease",
            mark("ease"),
            choice(("easy", mark("easy")), ("hard", mark("hard")), ("failed", mark("failed"))),
        ),
        Field(
            "bleeding",
            mark("bleeding"),
            choice(
                ("none", mark("none")), ("streaks", mark("streaks")), ("fresh", mark("fresh")), ordered=True
            ),
        ),
        Field("done_by", mark("done by"), Text()),
        Field("next_due", mark("next due"), Date()),
    ),
    tiles=(Tile(mark("Tube change")),),
    does=_does,
    draw=Draw.WORDS,
    export=Export("Procedure"),
)
