"""The nurse looked at the record, and may have signed the week."""

from carelog.domain.entry import Details
from carelog.domain.field import WEEK, Date, Field, Problem, Text, YesNo
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark, say


def _signs_what(details: Details) -> Problem | None:
    if not details.get("signed") or "week" in details or "until" in details:
        return None
    return Problem("signed", say("needs the week, or the day with which the seven days end"))


VISIT = Kind(
    name="visit",
    title=mark("Nurse's visit"),
    is_weighty=True,
    fields=(
        Field("nurse", mark("nurse"), Text(), required=True),
        Field("week", mark("week"), WEEK),
        Field("until", mark("seven days to"), Date()),
        Field("signed", mark("Signed"), YesNo(mark("signed"), mark("not signed"))),
    ),
    tiles=(Tile(mark("Nurse's visit")),),
    check=_signs_what,
    draw=Draw.WORDS,
    export=Export("Observation"),
)
