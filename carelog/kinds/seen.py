"""Somebody looked at a flag, and perhaps told someone."""

from carelog.domain.field import RULE_NAME, Field, Text
from carelog.domain.kind import Draw, Export, Kind
from carelog.text import mark

SEEN = Kind(
    name="seen",
    title=mark("Flag looked at"),
    has_page=True,
    fields=(
        Field("rule", mark("flag"), RULE_NAME, required=True),
        Field("subject", mark("about"), Text()),
        Field("told", mark("told"), Text()),
    ),
    draw=Draw.WORDS,
    export=Export("Communication"),
)
