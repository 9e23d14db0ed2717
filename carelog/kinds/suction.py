"""A suction and what came up."""

from carelog.domain.field import Field, Number, YesNo, choice
from carelog.domain.kind import Draw, Export, Kind, Pick, Tile
from carelog.kinds.words import vacuum_fields
from carelog.text import mark

SUCTION = Kind(
    name="suction",
    title=mark("Suction"),
    is_care=True,
    is_frequent=True,
    in_short=("colour", "consistency", "blood", "amount"),
    fields=(
        Field(
            "route",
            "",
            choice(
                ("tracheal", mark("tracheal")), ("oral", mark("oral")), ("subglottic", mark("subglottic"))
            ),
            asked=mark("Route"),
        ),
        Field(
            "colour",
            "",
            choice(
                ("clear", mark("clear")),
                ("white", mark("white")),
                ("cream", mark("cream")),
                ("yellow", mark("yellow")),
                ("green", mark("green")),
                ("brown", mark("brown")),
                ("pink", mark("pink")),
                ("red", mark("red")),
            ),
            asked=mark("Colour"),
        ),
        Field(
            "consistency",
            "",
            choice(
                ("thin", mark("thin")),
                ("thick", mark("thick")),
                ("sticky", mark("sticky")),
                ("crusts", mark("crusts")),
                ("plug", mark("plug")),
                ordered=True,
            ),
            asked=mark("Thickness"),
        ),
        Field("frothy", mark("Frothy"), YesNo(mark("frothy"), mark("not frothy"))),
        Field(
            "amount",
            mark("amount"),
            choice(
                ("small", mark("small")),
                ("moderate", mark("moderate")),
                ("large", mark("large")),
                ordered=True,
            ),
        ),
        Field(
            "blood",
            mark("blood"),
            choice(
                ("none", mark("none")), ("streaks", mark("streaks")), ("fresh", mark("fresh")), ordered=True
            ),
        ),
        Field(
            "smell",
            mark("smell"),
            choice(("none", mark("none")), ("usual", mark("usual")), ("new", mark("new"))),
        ),
        Field(
            "food_seen", mark("Food or drink seen"), YesNo(mark("food or drink seen"), mark("no food seen"))
        ),
        Field("passes", mark("passes"), Number(whole=True, low=1, high=20)),
        Field("catheter_fr", mark("catheter"), Number(unit="Fr", ask_below=4, ask_above=20)),
        Field(
            "catheter_passed",
            mark("catheter passed"),
            choice(("freely", mark("freely")), ("tight", mark("tight")), ("no", mark("no"))),
        ),
        *vacuum_fields(limit="vacuum"),
        Field("saline", mark("Saline used"), YesNo(mark("saline used"), mark("no saline"))),
        Field(
            "breathing_after",
            mark("breathing after"),
            choice(("easier", mark("easier")), ("same", mark("same")), ("harder", mark("harder"))),
        ),
    ),
    tiles=(Tile(mark("Suction"), {}, place=1),),
    picks=(
        Pick("consistency", "thin"),
        Pick("consistency", "thick"),
        Pick("colour", "white"),
        Pick("colour", "yellow"),
        Pick("amount", "small"),
        Pick("amount", "large"),
    ),
    rare_picks=(Pick("blood", "streaks", mark("blood streaks")),),
    draw=Draw.COUNT,
    export=Export("Procedure"),
)
