"""The stoma and the skin around it, described, never judged.

The first three fields are asked first, because dried mucus looks like a scab and mucus like pus: does it wipe
off, is the skin whole, where does the fluid come from (common practice, no source).
"""

from carelog.domain.field import Field, Number, YesNo, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

STOMA = Kind(
    name="stoma",
    title=mark("Stoma"),
    is_care=True,
    is_clockwork=True,
    ends_with_contact=True,
    is_frequent=True,
    fields=(
        Field(
            "crust",
            mark("crust"),
            choice(
                ("none", mark("none")),
                ("wipes_off", mark("wipes off")),
                ("stuck", mark("stuck")),
                ordered=True,
            ),
            help=mark("Does it wipe off with saline?"),
            has_not_tried=True,
        ),
        Field(
            "skin",
            mark("skin"),
            choice(
                ("whole", mark("whole")),
                ("red", mark("red")),
                ("broken", mark("broken")),
                ("overgrown", mark("overgrown")),
            ),
            help=mark("Is the skin beneath whole?"),
            has_not_tried=True,
        ),
        Field(
            "fluid_from",
            mark("fluid from"),
            choice(("tube", mark("the tube")), ("skin_edge", mark("the skin edge"))),
            help=mark("Does fluid come from the skin edge itself?"),
            has_not_tried=True,
        ),
        Field(
            "fluid",
            mark("fluid"),
            choice(
                ("none", mark("none")),
                ("clear", mark("clear")),
                ("coloured", mark("coloured")),
                ("blood", mark("blood")),
            ),
        ),
        Field(
            "redness_fades",
            mark("Redness fades when pressed"),
            YesNo(mark("redness fades"), mark("redness doesn't fade")),
        ),
        Field("swelling", mark("Swelling"), YesNo(mark("swelling"), mark("no swelling"))),
        Field("heat", mark("Heat"), YesNo(mark("heat"), mark("no heat"))),
        Field("smell", mark("Smell"), YesNo(mark("smell"), mark("no smell"))),
        Field(
            "crackling",
            mark("Crackling under the skin"),
            YesNo(mark("crackling under the skin"), mark("no crackling")),
        ),
        Field("pain", mark("pain (0 to 10)"), Number(whole=True, low=0, high=10)),
        Field("cleaned", mark("Cleaned"), YesNo(mark("cleaned"), mark("not cleaned"))),
        Field(
            "dressing",
            mark("dressing"),
            choice(
                ("changed", mark("changed")),
                ("unchanged", mark("unchanged")),
                ("none_worn", mark("none worn")),
            ),
        ),
        Field("barrier_cream", mark("Barrier cream"), YesNo(mark("barrier cream"), mark("no barrier cream"))),
    ),
    tiles=(Tile(mark("Stoma"), place=7),),
    draw=Draw.WORDS,
    export=Export("Observation"),
)
