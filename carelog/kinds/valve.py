"""A speaking valve or a cap put on or taken off."""

from carelog.domain.field import Field, YesNo, choice
from carelog.domain.kind import Draw, Export, Kind, NeedsAnswer, Tile
from carelog.text import mark

VALVE = Kind(
    name="valve",
    title=mark("Valve"),
    is_care=True,
    told_by="what",
    needs_answer=NeedsAnswer(
        # The person can't breathe out past an inflated cuff otherwise (Royal Marsden Manual).
        {"action": "on"},
        "cuff_down",
        mark("“Is the cuff fully down?” has no answer yet. Answer it, or save again without an answer."),
    ),
    is_frequent=True,
    fields=(
        Field("cuff_down", mark("Is the cuff fully down?"), YesNo(mark("cuff down"), mark("cuff not down"))),
        Field(
            "what", "", choice(("valve", mark("speaking valve")), ("cap", mark("cap"))), asked=mark("What")
        ),
        Field(
            "action",
            "",
            choice(("on", mark("on")), ("off", mark("off"))),
            required=True,
            asked=mark("What was done"),
        ),
    ),
    tiles=(Tile(mark("Valve"), place=8),),
    draw=Draw.WORDS,
    export=Export("Procedure"),
)
