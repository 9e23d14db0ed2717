"""The inner tube looked at, cleaned, replaced, or stuck."""

from carelog.domain.entry import Details
from carelog.domain.field import Field, choice
from carelog.domain.kind import Draw, Export, Kind, Pick, Tile
from carelog.text import mark


def _does(details: Details) -> bool:
    return bool(details.get("outcome") != "stuck")


INNER_TUBE = Kind(
    name="inner_tube",
    title=mark("Inner tube"),
    is_care=True,
    is_clockwork=True,
    is_frequent=True,
    fields=(
        Field(
            "outcome",
            "",
            choice(
                ("clear", mark("looked, clean")),
                ("cleaned", mark("cleaned")),
                ("replaced", mark("replaced")),
                ("stuck", mark("stuck, could not be removed")),
            ),
            required=True,
            asked=mark("What was done"),
        ),
        Field(
            "found",
            mark("found"),
            choice(
                ("clear", mark("clear")),
                ("coated", mark("coated")),
                ("crusted", mark("crusted")),
                ("blocked", mark("blocked")),
                ordered=True,
            ),
        ),
        Field(
            "fitted", mark("fitted"), choice(("plain", mark("plain")), ("fenestrated", mark("fenestrated")))
        ),
    ),
    tiles=(Tile(mark("Inner tube cleaned"), {"outcome": "cleaned"}, place=2),),
    picks=(
        Pick("found", "clear"),
        Pick("found", "coated"),
        Pick("found", "crusted"),
        Pick("found", "blocked"),
    ),
    rare_picks=(Pick("outcome", "stuck", mark("stuck")),),
    does=_does,
    draw=Draw.DOINGS,
    export=Export("Procedure"),
)
